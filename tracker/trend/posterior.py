"""From the weights of the last segments to the answers about the present: rate, class, onset, slowed."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from tracker.trend.normal import normal_cdf
from tracker.trend.observations import Floats

POINTS = (0.05, 0.5, 0.95)
NEGLIGIBLE = 1e-7


@dataclass(frozen=True)
class Ends:
    """Every way the series may end: (C, S) components, last segments by label, first knot and hypothesis.

    `weight` sums to 1 over C; `slope`, `variance` of the present rate; `onset` time of the first knot;
    `first` tells that the segment began with the record; `slower` the probability that it is lower than the
    one before.
    """

    weight: Floats
    slope: Floats
    variance: Floats
    onset: Floats
    first: Floats
    slower: Floats


@dataclass(frozen=True)
class Present:
    """The present: `p` (S, 3), `rate` (S, 3), `onset` (S, 3, 3), `before_record` (S, 3), `slowed` (S,)."""

    p: Floats
    rate: Floats
    onset: Floats
    before_record: Floats
    slowed: Floats


def classes(slope: Floats, sd: Floats, band: Floats) -> Floats:
    """Return the probabilities (3, ...) that a normal slope lies above, inside, below the band."""
    below = normal_cdf((-band - slope) / sd)
    above = normal_cdf((slope - band) / sd)
    return np.stack([above, np.maximum(1.0 - above - below, 0.0), below])


def present(ends: Ends, band: Floats) -> Present:
    """Sum up the components of each series."""
    sd = np.sqrt(ends.variance)
    share = ends.weight * classes(ends.slope, sd, band)
    p = share.sum(axis=1)
    order = np.argsort(ends.onset, axis=0, kind="stable")
    when = np.take_along_axis(ends.onset, order, 0)
    onset = np.empty((p.shape[1], 3, 3))
    for label in range(3):
        total = np.cumsum(np.take_along_axis(share[label], order, 0), axis=0)
        for column, point in enumerate(POINTS):
            row = (total < point * total[-1]).sum(axis=0)
            onset[:, label, column] = when[np.minimum(row, when.shape[0] - 1), np.arange(when.shape[1])]
    first = (share * ends.first).sum(axis=1) / np.maximum(p, 1e-300)
    slowed = (ends.weight * ends.slower).sum(axis=0)
    return Present(p.T / p.sum(axis=0)[:, None], _quantiles(ends, sd), onset, first.T, slowed)


def _quantiles(ends: Ends, sd: Floats) -> Floats:
    """Return the 5, 50 and 95 % points (S, 3) of the mixture of normals by false position within brackets."""
    mean = (ends.weight * ends.slope).sum(axis=0)
    spread = np.sqrt((ends.weight * (ends.variance + (ends.slope - mean) ** 2)).sum(axis=0))
    keep = ends.weight > NEGLIGIBLE
    rows, columns = np.nonzero(keep)
    weight, slope, scale = ends.weight[keep], ends.slope[keep], 1.0 / sd[keep]
    del rows
    size = mean.size
    total = np.bincount(columns, weight, size)

    def cdf(x: Floats) -> Floats:
        return np.bincount(columns, weight * normal_cdf((x[columns] - slope) * scale), size) / total

    out = np.empty((size, 3))
    for column, point in enumerate(POINTS):
        # a distribution's p point lies within sqrt((1 - p) / p) standard deviations of its mean (Cantelli
        # 1928)
        reach = np.sqrt((1.0 - point) / point), np.sqrt(point / (1.0 - point))
        low, high = mean - spread * reach[0] - 1e-9, mean + spread * reach[1] + 1e-9
        for _ in range(16):
            middle = 0.5 * (low + high)
            under = cdf(middle) < point
            low, high = np.where(under, middle, low), np.where(under, high, middle)
        out[:, column] = 0.5 * (low + high)
    return out
