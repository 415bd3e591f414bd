"""Forward recursion over the last knot: what the data up to a knot say of the level there.

The line is continuous; after a knot a segment gets a label (gaining, flat, slipping) and a slope drawn from
the label's prior. Segments are not independent, for they share the level at the knot. Per knot the level is
kept as one normal (the moments of the exact mixture); everything else is exact. Built on the idea of
Fearnhead (2006), Stat Comput 16:203, exact segmentation, with the level message of a switching state-space
model (Smith & West 1983, Biometrics 39:867). Each knot carries two messages: over all predecessors, for the
segments that may follow anything, and over those that are not flat, for flat never follows flat (else onsets
drift late).
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from tracker.trend.grid import Grid, Sums
from tracker.trend.normal import log_sum_exp
from tracker.trend.observations import Floats, Ints
from tracker.trend.priors import FLAT, Priors

NEVER = -1e30
START_SD = 20.0
"""Prior standard deviation of the first level around the first tests' median, percent."""


@dataclass(frozen=True)
class Rules:
    """The priors of segments, spread over a batch: (3, S) unless said otherwise."""

    mean: Floats
    precision: Floats
    log_weight: Floats
    """(3,) of a label after a segment that is not flat, or at the start."""
    after_flat: float
    """Added to the log weight of the other labels after a flat segment."""
    hazard: Floats
    """(3,) per month."""

    def arrival(self, grid: Grid) -> Floats:
        """Return log probability (3, G, S) of a change at each knot given none before it since the last knot."""
        gap = np.diff(grid.time[:-1], axis=0)
        out = np.full((3, *grid.valid.shape), NEVER)
        for label in range(3):
            event = np.log(-np.expm1(-self.hazard[label] * np.maximum(gap, 1e-9)))
            # survival runs to this knot, the change lies in the gap before it
            out[label, 1:] = np.where(grid.valid[1:], event + self.hazard[label] * gap, NEVER)
        return out


def rules_of(priors: Priors, band: Floats) -> Rules:
    """Spread `priors` over the series with the half-bands `band` (S,)."""
    gain, slip = priors.slope_sd
    ones = np.ones_like(band)
    sd = np.stack([gain * ones, priors.flat_share * band, slip * ones])
    weight = np.array(priors.label_weight)
    return Rules(
        np.array(priors.slope_mean)[:, None] * ones,
        1.0 / sd**2,
        np.log(weight),
        float(-np.log1p(-weight[FLAT])),
        np.array(priors.hazard),
    )


@dataclass(frozen=True)
class Message:
    """What is known of the level at each knot before the segment that begins there, (G, S)."""

    log_weight: Floats
    mean: Floats
    variance: Floats

    def folded(self) -> Floats:
        """Return precision, precision-weighted mean, and the log weight with the normal's constant folded in."""
        precision = 1.0 / self.variance
        shift = self.mean * precision
        return np.stack(
            [precision, shift, self.log_weight - 0.5 * (self.mean * shift + np.log(self.variance))]
        )


@dataclass(frozen=True)
class Forward:
    """Result of the forward pass.

    Attributes
    ----------
    every, moving : messages over all predecessors and over those that are not flat.
    back : (2, G + 1, S) the best predecessor of each knot (label * G + knot), over the same two sets.
    log_end : (3, G, S) log weight of the last segment's label and first knot; not normalised.
    slope, slope_variance : (3, G, S) of that segment.
    level, level_variance, cross : (3, G, S) of the level at its first knot, and the covariance with the
        slope.
    before : (2, 3, G, S) for either message mean and variance of the slope before each knot and its
        covariance with the level there.
    evidence : (S,) log marginal likelihood.
    """

    every: Message
    moving: Message
    back: Ints
    log_end: Floats
    slope: Floats
    slope_variance: Floats
    level: Floats
    level_variance: Floats
    cross: Floats
    before: Floats
    evidence: Floats


class _Segments:
    """Segments from every knot before `b` to it, for one label at a time."""

    def __init__(self, sums: Sums, grid: Grid, b: int) -> None:
        start = grid.time[:b]
        self.a = sums.oo[b] - sums.oo[:b]
        or_ = sums.oo_r[b] - sums.oo_r[:b]
        self.b = or_ - start * self.a
        self.c = (sums.rr[b] - sums.rr[:b]) - start * (or_ + self.b)
        self.d = sums.oy[b] - sums.oy[:b]
        self.e = (sums.ry[b] - sums.ry[:b]) - start * self.d
        self.length = grid.time[b] - start

    def solve(self, rules: Rules, label: int, message: Floats) -> tuple[Floats, ...]:
        """Return log weight and the 2 x 2 posterior (level, slope at the start): m1, m2, L11, L22, det."""
        precision, shift, folded = message
        tight = rules.precision[label]
        lean = rules.mean[label] * tight
        l11 = self.a + precision
        l22 = self.c + tight
        h1 = self.d + shift
        h2 = self.e + lean
        det = l11 * l22 - self.b * self.b
        m1 = (l22 * h1 - self.b * h2) / det
        m2 = (l11 * h2 - self.b * h1) / det
        log_weight = 0.5 * (h1 * m1 + h2 * m2 - np.log(det)) + folded
        log_weight += 0.5 * (np.log(tight) - rules.mean[label] * lean) + rules.log_weight[label]
        log_weight -= rules.hazard[label] * self.length
        return log_weight, m1, m2, l11, l22, det


def forward(sums: Sums, grid: Grid, rules: Rules, start: Floats) -> Forward:
    """Run the recursion over a batch. `start` (S,) is where the first level is expected."""
    size, series = grid.valid.shape
    arrival = rules.arrival(grid)
    shape = (size, series)
    every = Message(np.full(shape, NEVER), np.zeros(shape), np.ones(shape))
    moving = Message(np.full(shape, NEVER), np.zeros(shape), np.ones(shape))
    for message in (every, moving):
        message.log_weight[0], message.mean[0], message.variance[0] = 0.0, start, START_SD**2
    folded = [m.folded() for m in (every, moving)]
    back = np.zeros((2, size + 1, series), np.int64)
    before = np.zeros((2, 3, size, series))
    for b in range(1, size):
        part = _Segments(sums, grid, b)
        log_weight, level, variance = (np.empty((3, b, series)) for _ in range(3))
        slope, spread, cross = (np.empty((3, b, series)) for _ in range(3))
        for label in range(3):
            source = folded[1 if label == FLAT else 0]
            lw, m1, m2, l11, l22, det = part.solve(rules, label, source[:, :b])
            log_weight[label] = lw + arrival[label, b]
            step = part.length
            level[label] = m1 + step * m2
            spread[label] = l11 / det
            cross[label] = (step * l11 - part.b) / det
            variance[label] = (l22 + step * (step * l11 - 2.0 * part.b)) / det
            slope[label] = m2
        others = log_weight.copy()
        others[FLAT] = NEVER
        log_weight[FLAT] += rules.after_flat
        back[0, b] = log_weight.reshape(-1, series).argmax(axis=0)
        back[1, b] = others.reshape(-1, series).argmax(axis=0)
        for which, message, values in ((0, every, log_weight), (1, moving, others)):
            top = values.max(axis=(0, 1))
            share = np.exp(values - top)
            total = share.sum(axis=(0, 1))
            share /= total
            mean = (share * level).sum(axis=(0, 1))
            message.log_weight[b] = top + np.log(total)
            message.mean[b] = mean
            message.variance[b] = (share * (variance + (level - mean) ** 2)).sum(axis=(0, 1))
            one = Message(*(x[b] for x in (message.log_weight, message.mean, message.variance)))
            folded[which][:, b] = one.folded()
            pace = (share * slope).sum(axis=(0, 1))
            before[which, 0, b] = pace
            before[which, 1, b] = (share * (spread + (slope - pace) ** 2)).sum(axis=(0, 1))
            before[which, 2, b] = (share * (cross + (level - mean) * (slope - pace))).sum(axis=(0, 1))
    return _finish(sums, grid, rules, (every, moving), folded, back, before)


def _finish(
    sums: Sums,
    grid: Grid,
    rules: Rules,
    messages: tuple[Message, Message],
    folded: list[Floats],
    back: Ints,
    before: Floats,
) -> Forward:
    size, series = grid.valid.shape
    part = _Segments(sums, grid, size)
    out = np.empty((6, 3, size, series))
    alive = grid.time[grid.last, np.arange(series)]
    for label in range(3):
        source = folded[1 if label == FLAT else 0]
        lw, m1, m2, l11, l22, det = part.solve(rules, label, source)
        # no change is looked for after the last valid knot, so nothing has to be survived there
        lw += rules.hazard[label] * (grid.time[size] - alive)
        out[:, label] = lw, m2, l11 / det, m1, l22 / det, -part.b / det
    log_end = out[0]
    back[:, size] = log_end.reshape(-1, series).argmax(axis=0)
    evidence = log_sum_exp(log_end, (0, 1)) + sums.constant
    return Forward(*messages, back, *out, before, evidence)
