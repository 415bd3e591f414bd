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

from dataclasses import dataclass, replace

import numpy as np

from tracker.engine.trend.grid import Grid, Sums
from tracker.engine.trend.mixture import log_sum_exp, normal_cdf
from tracker.engine.trend.observations import Floats, Ints
from tracker.engine.trend.priors import FLAT, Priors

Index = slice | Ints
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
    """(3,) changes per month, one over the mean length."""

    def of(self, series: Ints) -> Rules:
        """Return the rules of some of the series."""
        return replace(self, mean=self.mean[:, series], precision=self.precision[:, series])

    def constant(self) -> Floats:
        """Return the part (3, S) of a segment's log weight that depends on its label only."""
        return self.log_weight[:, None] + 0.5 * (np.log(self.precision) - self.mean**2 * self.precision)

    def log_survival(self, length: Floats, *, first: bool = False) -> Floats:
        """Return the log probability (3, ...) that a segment lasts longer than `length` months.

        Erlang-2 with mean 1 / hazard; of the `first` segment of a record, which began before it at no
        particular moment, the time that is left (the renewal process' equilibrium).
        """
        x = 2.0 * self.hazard.reshape(-1, *[1] * length.ndim) * length
        return np.log1p(0.5 * x if first else x) - x


@dataclass(frozen=True)
class Durations:
    """How long segments last, by their first and last knot; the same for all hypotheses.

    Attributes
    ----------
    ending : (G + 1) arrays (3, b, S): log probability of a change in the interval before knot b, given that
        the segment began at each knot before it; `NEVER` at padding.
    odds : the same of how often the segment lasts beyond b for once that it ends there.
    last : (3, G, S) log probability that the segment from each knot lasts to the end.
    """

    ending: tuple[Floats, ...]
    odds: tuple[Floats, ...]
    last: Floats


def durations(grid: Grid, rules: Rules) -> Durations:
    """Return the durations of all segments between the knots of a grid."""
    size, series = grid.valid.shape
    none = np.zeros((3, 0, series))
    lasting, ending, odds = none, [none], [none]
    for b in range(1, size + 1):
        length = grid.time[b] - grid.time[:b]
        now = rules.log_survival(length)
        now[:, 0] = rules.log_survival(length[0], first=True)
        if b < size:
            before = np.concatenate([lasting, np.zeros((3, 1, series))], axis=1)
            ended = np.maximum(-np.expm1(np.minimum(now - before, 0.0)), 1e-300)
            # what a change has by reaching the interval at all, and by happening in it
            ending.append(np.where(grid.valid[b], before + np.log(ended), NEVER))
            odds.append(np.where(grid.valid[b], np.exp(now - before) / ended, 0.0))
        lasting = now
    return Durations(tuple(ending), tuple(odds), lasting)


def widened(log_weight: Floats, values: Floats) -> None:
    """Add values (3, B, S) of the series to the log weights (3, B, H S) of their hypotheses."""
    series = values.shape[-1]
    shape = (*log_weight.shape[:-1], log_weight.shape[-1] // series, series)
    wide = log_weight.reshape(shape)
    wide += values[:, :, None]


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
    and variance of the level, mean and variance of the slope, their covariance. The slope is kept for the
    first columns only.
    """

    log_weight: Floats
    mean: Floats
    variance: Floats
    pace: Floats
    spread: Floats
    cross: Floats

    @classmethod
    def empty(cls, size: int, start: Floats, slopes: int) -> Message:
        """Return messages for `size` knots, only the first of which is reached."""
        shape = (size, start.size)
        rest = (np.zeros((size, slopes)) for _ in range(3))
        out = cls(np.full(shape, NEVER), np.zeros(shape), np.ones(shape), *rest)
        out.log_weight[0], out.mean[0], out.variance[0] = 0.0, start, START_SD**2
        return out

    def set(self, knot: int, level: Floats, slope: Floats) -> None:
        """Fill in one knot from (3, S) and (3, slopes) values in the order of the fields."""
        self.log_weight[knot], self.mean[knot], self.variance[knot] = level
        self.pace[knot], self.spread[knot], self.cross[knot] = slope

    def at(self, knot: int) -> tuple[Floats, Floats]:
        """Return mean and variance of the level at one knot, (S,)."""
        return self.mean[knot], self.variance[knot]


@dataclass(frozen=True)
class Filtered:
    """What the tests before each knot and, last, all tests say of the rate there; G looks, H S columns.

    By label of the present segment, (3, G, H S): `log_weight` of the data before and the label (not
    normalised), mean and variance of the rate. `slower` (G, slopes): the probability that the rate is lower
    than that of the segment before. Knot 0 has no look: look g is at knot g + 1, the last at the end.
    """

    log_weight: Floats
    slope: Floats
    variance: Floats
    slower: Floats


@dataclass(frozen=True)
class Forward:
    """Result of the forward pass over S columns: series, or series times hypotheses.

    Attributes
    ----------
    every, moving, flat : messages over all predecessors, those that are not flat, those that are; their
        slopes (G, slopes) of the first columns only.
    back : (2, G + 1, S) the best predecessor of each knot, over every and over the moving ones: label * b +
        a for the knot b (the end is G).
    log_end : (3, G, S) log weight of the last segment's label and first knot; not normalised.
    slope, slope_variance : (3, G, S) of that segment.
    level, level_variance, cross : (3, G, S) of the level at its first knot, and the covariance with the
        slope.
    evidence : (S,) log marginal likelihood.
    filtered : the looks, where asked for.
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
    filtered: Filtered | None = None

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
        h1[:, 0] += rules.first[:, None]
        l11 *= inverse
        l22 *= inverse
        inverse *= self.b
        return h1, level, slope, l11, l22, inverse


def _folded(values: Floats) -> Floats:
    """Return precision, shift, and the log weight with the normal's constant in it, of a message's values."""
    log_weight, mean, variance = values[:3]
    out = np.empty((3, *mean.shape))
    np.divide(1.0, variance, out=out[0])
    np.multiply(mean, out[0], out=out[1])
    out[2] = log_weight - 0.5 * (mean * out[1] + np.log(variance))
    return out


def forward(  # noqa: PLR0913, PLR0915 - one step after the other, and what is wanted of them
    sums: Sums,
    grid: Grid,
    rules: Rules,
    start: Floats,
    lengths: Durations,
    *,
    slopes: int | None = None,
    path: bool = False,
    looks: bool = False,
) -> Forward:
    """Run the recursion over a batch. `start` (S,) is where the first level is expected.

    `lengths` are those of the series; the columns may be series times hypotheses, hypothesis by hypothesis.
    `slopes`: for how many of the first columns the slopes before the knots are kept (all). `path` is for the
    sweeps, which want the best predecessors. `looks`: also what was known at each knot.
    """
    size, series = grid.valid.shape
    kept = series if slopes is None else slopes
    constant = rules.constant()[:, None]
    every, moving, flat = (Message.empty(size, start, kept) for _ in range(3))
    flat.log_weight[0] = NEVER
    # what the segments of each label start from
    folded = np.empty((3, 3, size, series))
    first = np.stack([np.zeros(series), start, np.full(series, START_SD**2)])
    folded[:, :, 0] = _folded(first)[:, None]
    back = np.zeros((2, size + 1, series), np.int64)
    seen = _Looks(size, series, kept, (every, moving)) if looks else None
    for b in range(1, size):
        solved = _Pieces(sums, grid, b).solve(rules, folded[:, :, :b])
        widened(solved[0], lengths.ending[b])
        solved[0][...] += constant
        top, share = _shares(solved[0])
        if seen is not None:
            seen.add(b, top, share, solved, lengths.odds[b])
        if path:
            back[:, b] = _best(solved[0], rules.after_flat)
        by_label = _collapsed(top, share, *_arriving(grid.time[b] - grid.time[:b], solved, kept))
        # over those that are not flat, and over all as what follows them sees them
        weights = np.stack([by_label[0][0], by_label[0][0]])
        weights[0, FLAT] = NEVER
        weights[1, FLAT] += rules.after_flat
        levels, rates = _collapsed(*_shares(weights), by_label[0][1:], by_label[1])
        for message, number in ((every, 1), (moving, 0)):
            message.set(b, levels[:, number], rates[:, number])
        flat.set(b, by_label[0][:, FLAT], by_label[1][:, FLAT])
        folded[:, ::2, b] = _folded(levels[:, 1])[:, None]
        folded[:, FLAT, b] = _folded(levels[:, 0])
    solved = _Pieces(sums, grid, size).solve(rules, folded)
    log_end, level, slope, slope_var, level_var, cross = solved
    widened(log_end, lengths.last)
    log_end += constant
    if seen is not None:
        seen.add(size, *_shares(log_end), solved, None)
    if path:
        back[:, size] = _best(log_end, 0.0)
    evidence = log_sum_exp(log_end, (0, 1)) + sums.constant[-1]
    return Forward(
        every, moving, flat, back, log_end, slope, slope_var, level, level_var, -cross, evidence,
        None if seen is None else seen.found(),
    )  # fmt: skip


def _shares(log_weight: Floats) -> tuple[Floats, Floats]:
    """Return the largest log weight along the last axis but one, and every weight as a share of it."""
    top = log_weight.max(axis=-2, keepdims=True)
    share = log_weight - top
    return top, np.exp(share, out=share)


def _arriving(length: Floats, solved: tuple[Floats, ...], slopes: int) -> tuple[Floats, Floats]:
    """Return level and variance (2, 3, B, S), and the slopes' fields of `Message` (3, 3, B, slopes), at b."""
    _, level, slope, slope_variance, level_variance, cross = solved
    at_end = np.empty((2, *level.shape))
    np.multiply(length, slope, out=at_end[0])
    at_end[0] += level
    step = length * slope_variance
    step -= cross
    np.subtract(cross, step, out=at_end[1])
    at_end[1] *= length
    np.subtract(level_variance, at_end[1], out=at_end[1])
    return at_end, np.stack([slope[..., :slopes], slope_variance[..., :slopes], step[..., :slopes]])


class _Looks:
    """What was known at each knot, gathered on the way; `before` are the messages over every and moving."""

    def __init__(self, size: int, series: int, slopes: int, before: tuple[Message, Message]) -> None:
        self._by_label = np.empty((3, 3, size, series))
        self._slower = np.zeros((size, slopes))
        self._slopes = slopes
        self._before = before

    def add(
        self, b: int, top: Floats, share: Floats, solved: tuple[Floats, ...], odds: Floats | None
    ) -> None:
        """Note the look at knot `b` from its segments.

        `top` and `share` are those of a change there; `odds` (3, b, S) of the series makes of them segments
        that go on. At the end they do already.
        """
        if odds is not None:
            share = share.copy()
            shape = (*share.shape[:-1], -1, odds.shape[-1])
            wide = share.reshape(shape)
            wide *= odds[:, :, None]
        total = np.maximum(share.sum(axis=1), 1e-300)
        slope, variance = solved[2], solved[3]
        mean = _mean(share, slope) / total
        square = _mean(share, variance + slope * slope) / total
        self._by_label[:, :, b - 1] = (
            np.log(total) + top[:, 0], mean, np.maximum(square - mean * mean, 1e-12)
        )  # fmt: skip
        if b > 1:
            self._slower[b - 1] = self._chance(b, top, share, total, solved)

    def _chance(
        self, b: int, top: Floats, share: Floats, total: Floats, solved: tuple[Floats, ...]
    ) -> Floats:
        """Return the probability (slopes,) that the rate is lower than before the knot it began at."""
        some = (..., slice(1, None), slice(self._slopes))
        _, level, slope, variance, level_variance, cross = (one[some] for one in solved)
        every, moving = self._before
        out = np.empty_like(slope)
        for before, labels in ((every, slice(0, 3, 2)), (moving, slice(FLAT, FLAT + 1))):
            earlier = slope_before(
                before, slice(1, b), slice(self._slopes), level[labels], level_variance[labels]
            )
            out[labels] = earlier.slower(slope[labels], variance[labels], -cross[labels])
        scale = np.exp(top - top.max(axis=0))[..., : self._slopes]
        chance = np.einsum("lbs,lbs,ls->s", share[some], out, scale[:, 0])
        return np.asarray(chance / (scale[:, 0] * total[:, : self._slopes]).sum(axis=0))

    def found(self) -> Filtered:
        log_weight, slope, variance = self._by_label
        return Filtered(log_weight, slope, variance, self._slower)


@dataclass(frozen=True)
class SlopeBefore:
    """The slope of the segment before a knot given the level there: a normal, and how the level pulls it."""

    mean: Floats
    variance: Floats
    pull: Floats

    def slower(self, slope: Floats, variance: Floats, cross: Floats) -> Floats:
        """Return the probability that the segment from the knot is slower.

        `cross` is the covariance of its slope with the level at the knot.
        """
        spread = self.variance + variance - 2.0 * self.pull * cross
        return normal_cdf((self.mean - slope) / np.sqrt(np.maximum(spread, 1e-12)))


def slope_before(
    before: Message, knot: Index, column: Index, level: Floats, level_variance: Floats
) -> SlopeBefore:
    """Return the slope before some knots.

    It is known through its covariance with the level at the knot; the present segment's tests move that
    level, and so the slope. A column beyond those whose slopes are kept takes the one of its share.
    """
    kept = before.pace.shape[1]
    slope = (knot, column if isinstance(column, slice) else column % kept)
    variance = before.variance[knot, column]
    cross = before.cross[slope]
    pull = cross / variance
    earlier = before.pace[slope] + pull * (level - before.mean[knot, column])
    left = before.spread[slope] - pull * cross + pull * pull * level_variance
    return SlopeBefore(earlier, left, pull)


def _collapsed(top: Floats, share: Floats, levels: Floats, rates: Floats) -> tuple[Floats, Floats]:
    """Return the moments of mixtures of normals along the last axis but one.

    `top` and `share` are what `_shares` makes of the log weights; `levels` (2, ...) and `rates` (3, ...) as
    `_arriving` has them. The result: log weight, mean and variance of the level (3, ...), and the slope's.
    """
    total = share.sum(axis=-2, keepdims=True)
    share = share / total
    level, variance = levels
    shape = (*share.shape[:-2], share.shape[-1])
    out, slopes = np.empty((3, *shape)), np.empty((3, *shape[:-1], rates.shape[-1]))
    np.add(np.log(total), top, out=out[0, ..., None, :])
    out[1] = _mean(share, level)
    off = level - out[1, ..., None, :]
    pull = share * off
    out[2] = _mean(share, variance) + _mean(pull, off)
    if rates.shape[-1]:
        few = rates.shape[-1]
        part = share[..., :few]
        slope, spread, cross = rates
        slopes[0] = _mean(part, slope)
        away = slope - slopes[0][..., None, :]
        slopes[2] = _mean(part, cross) + _mean(pull[..., :few], away)
        slopes[1] = _mean(part, spread) + _mean(part * away, away)
    return out, slopes


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
