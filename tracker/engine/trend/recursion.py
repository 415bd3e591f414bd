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

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from tracker.engine.trend.grid import Grid, Sums
from tracker.engine.trend.mixture import log_sum_exp
from tracker.engine.trend.observations import Floats, Ints
from tracker.engine.trend.priors import FLAT, Priors

NEVER = -1e30
START_SD = 20.0
"""Prior standard deviation of the first level around the first tests' median, percent."""


@dataclass(frozen=True)
class Rules:
    """The priors of segments, spread over a batch: (3, S) unless said otherwise."""

    mean: Floats
    precision: Floats
    log_weight: Floats
    """(3,) of a label after a segment that is not flat."""
    first: Floats
    """(3,) added to it for the segment that the record begins in."""
    after_flat: float
    """Added to the log weight of the other labels after a flat segment."""
    hazard: Floats
    """(3,) per month."""

    def of(self, series: Ints) -> Rules:
        """Return the rules of some of the series."""
        return replace(self, mean=self.mean[:, series], precision=self.precision[:, series])

    def constant(self) -> Floats:
        """Return the part (3, S) of a segment's log weight that depends on its label only."""
        return self.log_weight[:, None] + 0.5 * (np.log(self.precision) - self.mean**2 * self.precision)

    def arrival(self, grid: Grid) -> Floats:
        """Return log probability (3, G, S) of a change at each knot given none at those passed over."""
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
        np.log(np.array(priors.opening)) - np.log(weight),
        float(-np.log1p(-weight[FLAT])),
        np.array(priors.hazard),
    )


@dataclass(frozen=True)
class Message:
    """What the tests before a knot say of the level there and of the slope that led to it; all (G, S).

    `log_weight` is the log probability of the tests before and of a change at the knot; the others are mean
    and variance of the level, mean and variance of the slope, their covariance.
    """

    log_weight: Floats
    mean: Floats
    variance: Floats
    pace: Floats
    spread: Floats
    cross: Floats

    @classmethod
    def empty(cls, size: int, start: Floats) -> Message:
        """Return messages for `size` knots, only the first of which is reached."""
        shape = (size, start.size)
        rest = (np.zeros(shape) for _ in range(3))
        out = cls(np.full(shape, NEVER), np.zeros(shape), np.ones(shape), *rest)
        out.log_weight[0], out.mean[0], out.variance[0] = 0.0, start, START_SD**2
        return out

    def set(self, knot: int, values: Floats) -> None:
        """Fill in one knot from (3, S) or (6, S) values in the order of the fields."""
        self.log_weight[knot], self.mean[knot], self.variance[knot] = values[:3]
        if values.shape[0] > 3:
            self.pace[knot], self.spread[knot], self.cross[knot] = values[3:]

    def at(self, knot: int) -> tuple[Floats, Floats]:
        """Return mean and variance of the level at one knot, (S,)."""
        return self.mean[knot], self.variance[knot]


@dataclass(frozen=True)
class Forward:
    """Result of the forward pass.

    Attributes
    ----------
    every, moving, flat : messages over all predecessors, those that are not flat, those that are.
    back : (2, G + 1, S) the best predecessor of each knot, over every and over the moving ones: label * b +
        a for the knot b (the end is G).
    log_end : (3, G, S) log weight of the last segment's label and first knot; not normalised.
    slope, slope_variance : (3, G, S) of that segment.
    level, level_variance, cross : (3, G, S) of the level at its first knot, and the covariance with the
        slope.
    evidence : (S,) log marginal likelihood.
    """

    every: Message
    moving: Message
    flat: Message
    back: Ints
    log_end: Floats
    slope: Floats
    slope_variance: Floats
    level: Floats
    level_variance: Floats
    cross: Floats
    evidence: Floats

    def before(self, label: int) -> Message:
        """Return the message that a segment of this label starts from."""
        return self.moving if label == FLAT else self.every


class _Pieces:
    """Segments from every knot before `b` to it, all labels at once."""

    def __init__(self, sums: Sums, grid: Grid, b: int) -> None:
        start = grid.time[:b]
        self.a = sums.oo[b] - sums.oo[:b]
        or_ = sums.oo_r[b] - sums.oo_r[:b]
        self.b = or_ - start * self.a
        self.c = (sums.rr[b] - sums.rr[:b]) - start * (or_ + self.b)
        self.d = sums.oy[b] - sums.oy[:b]
        self.e = (sums.ry[b] - sums.ry[:b]) - start * self.d
        self.length = grid.time[b] - start

    def solve(self, rules: Rules, start: Floats) -> tuple[Floats, ...]:
        """Return log weight, level and slope at the start, and the slope's and the level's variance.

        All (3, B, S); `start` (3, 3, B, S) holds for each label what `_folded` makes of the messages that its
        segments start from. Both variances, and minus the last value, `b` over the determinant, are the
        inverse of the precision matrix of level and slope.
        """
        precision, shift, log_weight = start
        tight = rules.precision[:, None]
        l11 = self.a + precision
        l22 = self.c + tight
        h1 = self.d + shift
        h2 = self.e + rules.mean[:, None] * tight
        det = l11 * l22
        det -= self.b * self.b
        inverse = 1.0 / det
        level = (l22 * h1 - self.b * h2) * inverse
        slope = (l11 * h2 - self.b * h1) * inverse
        h1 *= level
        h2 *= slope
        h1 += h2
        h1 -= np.log(det)
        h1 *= 0.5
        h1 += log_weight
        h1 -= rules.hazard[:, None, None] * self.length
        h1[:, 0] += rules.first[:, None]
        l11 *= inverse
        l22 *= inverse
        inverse *= self.b
        return h1, level, slope, l11, l22, inverse

    def arriving(self, rules: Rules, start: Floats, arrival: Floats) -> tuple[Floats, ...]:
        """Return the fields of `Message` at `b` of every segment, (3, B, S) each."""
        log_weight, level, slope, slope_variance, level_variance, cross = self.solve(rules, start)
        log_weight += arrival
        level += self.length * slope
        step = self.length * slope_variance
        step -= cross
        cross -= step
        cross *= self.length
        level_variance -= cross
        return log_weight, level, level_variance, slope, slope_variance, step


def _folded(values: Floats) -> Floats:
    """Return precision, shift, and the log weight with the normal's constant in it, of a message's values."""
    log_weight, mean, variance = values[:3]
    out = np.empty((3, *mean.shape))
    np.divide(1.0, variance, out=out[0])
    np.multiply(mean, out[0], out=out[1])
    out[2] = log_weight - 0.5 * (mean * out[1] + np.log(variance))
    return out


def forward(sums: Sums, grid: Grid, rules: Rules, start: Floats, *, path: bool = False) -> Forward:
    """Run the recursion over a batch. `start` (S,) is where the first level is expected.

    `path` is for the sweeps, which only want the best predecessors: these are stored (otherwise they stay 0),
    and the slopes before the knots are not.
    """
    size, series = grid.valid.shape
    constant = rules.constant()
    arrival = rules.arrival(grid) + constant[:, None]
    every, moving, flat = (Message.empty(size, start) for _ in range(3))
    flat.log_weight[0] = NEVER
    # what the segments of each label start from
    folded = np.empty((3, 3, size, series))
    first = np.stack([np.zeros(series), start, np.full(series, START_SD**2)])
    folded[:, :, 0] = _folded(first)[:, None]
    back = np.zeros((2, size + 1, series), np.int64)
    fields = 3 if path else 6
    for b in range(1, size):
        pieces = _Pieces(sums, grid, b)
        segments = pieces.arriving(rules, folded[:, :, :b], arrival[:, b, None])
        by_label = _collapsed(segments[:fields])
        # over those that are not flat, and over all as what follows them sees them
        weights = np.stack([by_label[0], by_label[0]])
        weights[0, FLAT] = NEVER
        weights[1, FLAT] += rules.after_flat
        others, both = _collapsed([weights, *by_label[1:]]).swapaxes(0, 1)
        still = by_label[:, FLAT]
        for message, found in ((every, both), (moving, others), (flat, still)):
            message.set(b, found)
        folded[:, ::2, b] = _folded(both)[:, None]
        folded[:, FLAT, b] = _folded(others)
        if path:
            back[:, b] = _best(segments[0], rules.after_flat)
    ends = _ends(_Pieces(sums, grid, size), grid, rules, folded)
    back[:, size] = _best(ends[0], 0.0)
    evidence = log_sum_exp(ends[0], (0, 1)) + sums.constant
    log_end, slope, slope_var, level, level_var, cross = ends
    return Forward(every, moving, flat, back, log_end, slope, slope_var, level, level_var, cross, evidence)


def _collapsed(fields: Floats | Sequence[Floats]) -> Floats:
    """Return the moments of mixtures of normals along the last axis but one; 3 or all fields of `Message`."""
    log_weight, level, variance = fields[:3]
    top = log_weight.max(axis=-2, keepdims=True)
    share = log_weight - top
    np.exp(share, out=share)
    total = share.sum(axis=-2, keepdims=True)
    share /= total
    out = np.empty((len(fields), *log_weight.shape[:-2], log_weight.shape[-1]))
    np.add(np.log(total), top, out=out[0, ..., None, :])
    out[1] = _mean(share, level)
    off = level - out[1, ..., None, :]
    pull = share * off
    out[2] = _mean(share, variance) + _mean(pull, off)
    if len(fields) > 3:
        slope, spread, cross = fields[3:]
        out[3] = _mean(share, slope)
        away = slope - out[3, ..., None, :]
        out[5] = _mean(share, cross) + _mean(pull, away)
        out[4] = _mean(share, spread) + _mean(np.multiply(share, away, out=pull), away)
    return out


def _mean(share: Floats, values: Floats) -> Floats:
    return np.asarray(np.einsum("...bs,...bs->...s", share, values))


def _best(log_weight: Floats, after_flat: float) -> Ints:
    """Return the best predecessor (2, S) of (3, B, S), among every label and among the moving ones."""
    labels, knots, series = log_weight.shape
    first = log_weight.argmax(axis=1)
    best = np.take_along_axis(log_weight, first[:, None], 1)[:, 0]
    lift = np.zeros((2, labels, 1))
    lift[0, FLAT], lift[1, FLAT] = after_flat, NEVER
    label = (best + lift).argmax(axis=1)
    return np.asarray(label * knots + first[label, np.arange(series)])


def _ends(pieces: _Pieces, grid: Grid, rules: Rules, folded: Floats) -> Floats:
    """Return (6, 3, G, S) of the last segments, fields as `Forward` has them from `log_end` on."""
    series = grid.valid.shape[1]
    # no change is looked for after the last valid knot, so nothing has to be survived there
    unwatched = grid.time[-1] - grid.time[grid.last, np.arange(series)]
    log_weight, level, slope, slope_variance, level_variance, cross = pieces.solve(rules, folded)
    log_weight += (rules.hazard[:, None] * unwatched + rules.constant())[:, None]
    return np.stack([log_weight, slope, slope_variance, level, level_variance, -cross])
