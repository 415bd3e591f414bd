"""From the weights of the last segments to the answers about the present: rate, class, onset, slowed."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from tracker.trend.grid import cells
from tracker.trend.normal import normal_cdf
from tracker.trend.observations import Floats

POINTS = (0.05, 0.5, 0.95)
HALVINGS = 8
"""Of brackets some five standard deviations wide: to a chord that is off by less than a thousandth of one."""
NEGLIGIBLE = 3e-6
"""Weight below which a component is left out."""


@dataclass(frozen=True)
class Ends:
    """Every way the series may end: (C, S) components, last segments by hypothesis, label and first knot.

    `weight` sums to 1 over C; `slope`, `variance` of the present rate; `slower` the probability that it is
    lower than the one before; `level`, `level_variance`, `cross` of the level at the end and its covariance
    with the rate; `time` (G + 1, S) of the knots and the end: C is a multiple of G.
    """

    weight: Floats
    slope: Floats
    variance: Floats
    slower: Floats
    level: Floats
    level_variance: Floats
    cross: Floats
    time: Floats


@dataclass(frozen=True)
class Present:
    """The present: `p` (S, 3), `rate` (S, 3), `onset` (S, 3, 3), `before_record` (S, 3), `slowed` (S,).

    `today` (S, 5): level at the last test, rate, their variances, their covariance. `labels` (S, 3, 3) by
    label: weight, mean and variance of the present rate.
    """

    p: Floats
    rate: Floats
    onset: Floats
    before_record: Floats
    slowed: Floats
    today: Floats
    labels: Floats


def classes(slope: Floats, sd: Floats, band: Floats) -> Floats:
    """Return the probabilities (3, ...) that a normal slope lies above, inside, below the band."""
    below = normal_cdf((-band - slope) / sd)
    above = normal_cdf((slope - band) / sd)
    return np.stack([above, np.maximum(1.0 - above - below, 0.0), below])


def within(slope: Floats, sd: Floats, band: Floats) -> Floats:
    """Return the probability that a normal slope lies inside the band, in the precision of what is given."""
    return np.maximum(normal_cdf((band - slope) / sd) - normal_cdf((-band - slope) / sd), 0.0)


def present(ends: Ends, band: Floats) -> Present:
    """Sum up the components of each series."""
    sd = np.sqrt(ends.variance)
    share = ends.weight * classes(ends.slope, sd, band)
    p = share.sum(axis=1)
    size, series = ends.time.shape[0] - 1, ends.time.shape[1]
    began = share.reshape(3, -1, size, series).sum(axis=1)
    low, high = cells(ends.time)
    onset = np.stack([quantiles(began[label], low[:size], high[:size]) for label in range(3)])
    first = began[:, 0] / np.maximum(p, 1e-300)
    slowed = (ends.weight * ends.slower).sum(axis=0)
    return Present(
        p.T / p.sum(axis=0)[:, None],
        _rates(ends, sd),
        onset.transpose(2, 0, 1),
        first.T,
        slowed,
        _today(ends),
        _labels(ends),
    )


def _today(ends: Ends) -> Floats:
    level, rate = (ends.weight * ends.level).sum(axis=0), (ends.weight * ends.slope).sum(axis=0)
    off, away = ends.level - level, ends.slope - rate
    return np.stack(
        [
            level,
            rate,
            (ends.weight * (ends.level_variance + off * off)).sum(axis=0),
            (ends.weight * (ends.variance + away * away)).sum(axis=0),
            (ends.weight * (ends.cross + off * away)).sum(axis=0),
        ],
        axis=1,
    )


def _labels(ends: Ends) -> Floats:
    size, series = ends.time.shape[0] - 1, ends.time.shape[1]
    weight, slope, variance = (
        part.reshape(-1, 3, size, series) for part in (ends.weight, ends.slope, ends.variance)
    )
    total = weight.sum(axis=(0, 2))
    share = weight / np.maximum(total, 1e-300)[:, None]
    mean = (share * slope).sum(axis=(0, 2))
    away = slope - mean[:, None]
    spread = (share * (variance + away * away)).sum(axis=(0, 2))
    return np.stack([total, mean, np.maximum(spread, 1e-9)], axis=-1).transpose(1, 0, 2)


def quantiles(mass: Floats, low: Floats, high: Floats) -> Floats:
    """Return the 5, 50, 95 % points (3, S) of masses (G, S) spread evenly over cells from `low` to `high`."""
    total = np.cumsum(mass, axis=0)
    column = np.arange(mass.shape[1])
    out = np.empty((len(POINTS), mass.shape[1]))
    for i, point in enumerate(POINTS):
        aim = point * total[-1]
        row = np.minimum((total < aim).sum(axis=0), mass.shape[0] - 1)
        inside = mass[row, column]
        part = np.clip(1.0 - (total[row, column] - aim) / np.maximum(inside, 1e-300), 0.0, 1.0)
        out[i] = low[row, column] + part * (high[row, column] - low[row, column])
    return out


def _rates(ends: Ends, sd: Floats) -> Floats:
    """Return the 5, 50 and 95 % points (S, 3) of the mixture of normals: brackets halved, then a chord."""
    mean = (ends.weight * ends.slope).sum(axis=0)
    spread = np.sqrt((ends.weight * (sd**2 + (ends.slope - mean) ** 2)).sum(axis=0))
    point = np.array(POINTS)[:, None]
    aim = point * ends.weight.sum(axis=0)
    # single precision around the mean: a hundred-thousandth of a standard deviation, in half the time
    scale = (1.0 / sd).astype(np.float32)
    centre = ((ends.slope - mean) / sd).astype(np.float32)
    weight = ends.weight.astype(np.float32)

    def reached(x: Floats) -> Floats:
        away = (x - mean).astype(np.float32)
        parts = [(weight * normal_cdf(one * scale - centre)).sum(axis=0, dtype=np.float64) for one in away]
        return np.stack(parts)

    # a p point lies within sqrt((1 - p) / p) standard deviations of the mean (Cantelli 1928)
    low = mean - spread * np.sqrt((1.0 - point) / point) - 1e-9
    high = mean + spread * np.sqrt(point / (1.0 - point)) + 1e-9
    below, above = np.zeros_like(low), np.broadcast_to(aim / point, low.shape)
    for _ in range(HALVINGS):
        middle = 0.5 * (low + high)
        here = reached(middle)
        under = here < aim
        low, below = np.where(under, middle, low), np.where(under, here, below)
        high, above = np.where(under, high, middle), np.where(under, above, here)
    part = (aim - below) / np.maximum(above - below, 1e-12)
    return np.asarray((low + np.clip(part, 0.0, 1.0) * (high - low)).T)
