"""Backward recursion: what the whole record says of every past segment.

A second message runs from the end, the likelihood of everything after a knot as a function of the level
there, kept as one normal shape matched where the forward message has its mass. Forward message, segment and
backward message together give each segment's probability and the normal posterior of its slope, so past
stretches, the fitted line and what a roster teaches all come without random draws.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from tracker.engine.trend.grid import Grid, Sums
from tracker.engine.trend.mixture import log_sum_exp
from tracker.engine.trend.observations import Floats
from tracker.engine.trend.posterior import within
from tracker.engine.trend.priors import FLAT
from tracker.engine.trend.recursion import Forward
from tracker.engine.trend.rules import NEVER, Durations, Rules

MOVING = slice(0, 3, 2)
"""The labels that are not flat; a slice copies nothing."""
LOOSEST = 1e-9


@dataclass(frozen=True)
class Smoothed:
    """Posterior of the past of a batch, summed over its segments. G knots, S series.

    Attributes
    ----------
    inside : (G, G + 1, S) probability of a segment from knot a to knot b (G: the end) with its rate inside
        the band.
    lines : (6, G, S) for the interval that begins at each knot the expectations of 1, c, s, c^2, c s, s^2
        where the level is c + s * time.
    mass : (G, S) what the probabilities of the segments over an interval add up to: 1 up to the
        approximation.
    """

    inside: Floats
    lines: Floats
    mass: Floats


@dataclass(frozen=True)
class Counted:
    """What a roster learns from the segments of a batch. S series.

    Attributes
    ----------
    label : (4, 3, S) by label: expected number of segments, of which ended, their time at risk in months, and
        number that opened the record.
    slopes : (2, 3, S) by label: sums of the slope and of its square.
    """

    label: Floats
    slopes: Floats


class _Backward:
    """Messages from the end, by the label of the segment before: likelihoods exp(k - c^2 J / 2 + H c).

    `values` (3, 3, G + 1, S) holds J, H and k by label; behind a flat segment cannot come a flat one.
    """

    def __init__(self, size: int, series: int) -> None:
        self.values = np.zeros((3, 3, size + 1, series))
        self.values[2, :, :size] = NEVER

    def set(self, a: int, moments: Floats, ahead: tuple[Floats, Floats]) -> None:
        """Set the messages at `a`, for a moving and for a flat segment before it.

        With the forward normal `ahead`, mean and variance (2, S), they have the mixture's mass and moments.
        `moments` (3, 2, 3, B, S): log weights, means and variances of the level in the mixture.
        """
        log_weight, mean, variance = moments
        axes = (1, 2)
        top = log_weight.max(axis=axes)
        share = np.exp(log_weight - top[:, None, None])
        total = share.sum(axis=axes)
        share /= total[:, None, None]
        centre = np.einsum("klbs,klbs->ks", share, mean)
        square = mean - centre[:, None, None]
        square *= square
        square += variance
        spread = np.einsum("klbs,klbs->ks", share, square)
        m, v = ahead
        precision = np.maximum(1.0 / spread - 1.0 / v, LOOSEST)
        shift = np.where(precision > LOOSEST, centre / spread - m / v, 0.0)
        joint = precision + 1.0 / v
        overlap = 0.5 * ((shift + m / v) ** 2 / joint - m * m / v - np.log(v * joint))
        for field, value in zip(self.values, (precision, shift, top + np.log(total) - overlap), strict=True):
            field[MOVING, a], field[FLAT, a] = value


def smooth(
    sums: Sums, grid: Grid, rules: Rules, result: Forward, lengths: Durations, band: Floats
) -> Smoothed:
    """Return stretches and line of the past; `result` is the forward pass on the same grid."""
    tally = _Past(grid, band)
    _backward(sums, grid, rules, result, lengths, tally.add)
    lines = np.cumsum(tally.lines, axis=1)[:, :-1]
    return Smoothed(tally.inside, lines, np.maximum(lines[0], 1e-9))


def count_segments(sums: Sums, grid: Grid, rules: Rules, result: Forward, lengths: Durations) -> Counted:
    """Return the segments counted by label; `result` is the forward pass on the same grid."""
    tally = _Labels(grid)
    _backward(sums, grid, rules, result, lengths, tally.add)
    return Counted(tally.label, tally.slopes)


def _backward(
    sums: Sums,
    grid: Grid,
    rules: Rules,
    result: Forward,
    lengths: Durations,
    take: Callable[[int, _Segments], None],
) -> None:
    """Run the backward recursion and hand over the segments from each knot, from the last to the first."""
    size, series = grid.valid.shape
    # how segments end, by their first knot: (G, 3, G + 1, S), the end being no change but survival
    ending = np.full((size, 3, size + 1, series), NEVER)
    for b in range(1, size):
        ending[:b, :, b] = lengths.ending[b].swapaxes(0, 1)
    ending[:, :, size] = lengths.last.swapaxes(0, 1)
    ending += rules.constant()[:, None]
    before = [result.before(label) for label in range(3)]
    mean, variance = np.stack([b.mean for b in before], 1), np.stack([b.variance for b in before], 1)
    coming = np.stack([b.log_weight for b in before], 1) - log_sum_exp(result.log_end, (0, 1))
    coming = np.where(grid.valid[:, None], coming, NEVER)
    coming[0] += rules.first[:, None]
    behind = _Backward(size, series)
    for a in range(size - 1, -1, -1):
        pieces = _Pieces(sums, grid, a)
        free = pieces.integrated(rules, behind.values[:, :, a + 1 :], ending[a, :, a + 1 :])
        take(a, _posterior(free, free.given(mean[a, :, None], variance[a, :, None]), coming[a]))
        if a:
            m, v = (np.stack(pair) for pair in zip(result.moving.at(a), result.flat.at(a), strict=True))
            moments = free.given(m[:, None, None], v[:, None, None])
            moments[0, 1, FLAT] = NEVER
            behind.set(a, moments, (m, v))
            behind.values[2, FLAT, a] += rules.after_flat


@dataclass(frozen=True)
class _Segments:
    """The segments from one knot to every later one and the end, all (3, B, S) by label.

    Probability; mean and variance of the level at the first knot and of the slope; their covariance.
    """

    chance: Floats
    level: Floats
    level_variance: Floats
    slope: Floats
    slope_variance: Floats
    cross: Floats


@dataclass(frozen=True)
class _Free:
    """Segments and all that follows as likelihoods of the level at the first knot, slope integrated out.

    All (3, B, S) by label; `tight`, `lean` and `ratio` give the slope when the level is known.
    """

    precision: Floats
    shift: Floats
    constant: Floats
    tight: Floats
    lean: Floats
    ratio: Floats

    def given(self, m: Floats, v: Floats) -> Floats:
        """Return log weight, mean and variance of the level (3, ..., 3, B, S), a normal before the knot."""
        joint = self.precision + 1.0 / v
        out = np.empty((3, *joint.shape))
        log, level, variance = out
        np.divide(1.0, joint, out=variance)
        total = self.shift + m / v
        np.multiply(total, variance, out=level)
        total *= level
        joint *= v
        np.subtract(total, np.log(joint, out=joint), out=log)
        log -= m * m / v
        log *= 0.5
        log += self.constant
        return out


class _Pieces:
    """Segments from knot `a` to every later knot and the end, with what lies beyond them."""

    def __init__(self, sums: Sums, grid: Grid, a: int) -> None:
        start = grid.time[a]
        self.a = sums.oo[a + 1 :] - sums.oo[a]
        or_ = sums.oo_r[a + 1 :] - sums.oo_r[a]
        self.b = or_ - start * self.a
        self.c = (sums.rr[a + 1 :] - sums.rr[a]) - start * (or_ + self.b)
        self.d = sums.oy[a + 1 :] - sums.oy[a]
        self.e = (sums.ry[a + 1 :] - sums.ry[a]) - start * self.d
        self.length = grid.time[a + 1 :] - start

    def integrated(self, rules: Rules, later: Floats, constant: Floats) -> _Free:
        """Return the segments, slopes integrated out; `later` (3, 3, B, S) are the messages behind them."""
        tight = rules.precision[:, None]
        precision, shift, beyond = later
        step = self.length * precision
        l12 = self.b + step
        step *= self.length
        step += self.c + tight
        h2 = self.length * shift
        h2 += self.e + rules.mean[:, None] * tight
        ratio, lean = l12 / step, h2 / step
        l12 *= ratio
        shift = self.d + shift - ratio * h2
        h2 *= lean
        h2 -= np.log(step)
        h2 *= 0.5
        h2 += beyond + constant
        return _Free(self.a + precision - l12, shift, h2, step, lean, ratio)


def _posterior(free: _Free, given: Floats, coming: Floats) -> _Segments:
    """Return the segments from a knot; `given` is what `free` makes of the message before it.

    `coming` (3, S) is the log probability that a segment of each label begins there.
    """
    log_chance, level, level_variance = given
    log_chance += coming[:, None]
    chance = np.exp(np.minimum(log_chance, 0.0, out=log_chance), out=log_chance)
    cross = free.ratio * level_variance
    slope_variance = 1.0 / free.tight
    slope_variance += free.ratio * cross
    np.negative(cross, out=cross)
    return _Segments(chance, level, level_variance, free.lean - free.ratio * level, slope_variance, cross)


class _Labels:
    """Segments counted by label."""

    def __init__(self, grid: Grid) -> None:
        series = grid.valid.shape[1]
        self.time = grid.time
        self.end = grid.time[grid.last, np.arange(series)]
        self.label, self.slopes = np.zeros((4, 3, series)), np.zeros((2, 3, series))

    def add(self, a: int, segments: _Segments) -> None:
        chance, slope = segments.chance, segments.slope
        risk = np.maximum(np.minimum(self.time[a + 1 :], self.end) - self.time[a], 0.0)
        begun = chance.sum(axis=1)
        self.label[0] += begun
        self.label[1] += chance[:, :-1].sum(axis=1)
        self.label[2] += np.einsum("lbs,bs->ls", chance, risk)
        if a == 0:
            self.label[3] = begun
        weighted = chance * slope
        self.slopes[0] += weighted.sum(axis=1)
        self.slopes[1] += np.einsum("lbs,lbs->ls", weighted, slope)
        self.slopes[1] += np.einsum("lbs,lbs->ls", chance, segments.slope_variance)


class _Past:
    """Which stretches were flat, and the line."""

    def __init__(self, grid: Grid, band: Floats) -> None:
        size, series = grid.valid.shape
        self.time = grid.time
        self.band = np.asarray(band, "f4")
        self.inside = np.zeros((size, size + 1, series))
        self.lines = np.zeros((6, size + 1, series))

    def add(self, a: int, segments: _Segments) -> None:
        chance, level, slope = segments.chance, segments.level, segments.slope
        # a probability in single precision is right to a millionth, in half the time
        near = within(
            slope.astype(np.float32), np.sqrt(segments.slope_variance.astype(np.float32)), self.band
        )
        self.inside[a, a + 1 :] = _summed(chance, near)
        c, s = chance * level, chance * slope
        start = self.time[a]
        # by the knot they end at, with the time counted from the knot they begin at ...
        at, pace = c.sum(axis=0), s.sum(axis=0)
        cc = _summed(c, level) + _summed(chance, segments.level_variance)
        cs = _summed(s, level) + _summed(chance, segments.cross)
        ss = _summed(s, slope) + _summed(chance, segments.slope_variance)
        # ... and then from the beginning of the record
        linear = cs - start * ss
        moments = np.stack(
            [chance.sum(axis=0), at - start * pace, pace, cc - start * (cs + linear), linear, ss]
        )
        # they hold for the intervals from the first knot to before the last
        self.lines[:, a] += moments.sum(axis=1)
        self.lines[:, a + 1 :] -= moments


def _summed(share: Floats, values: Floats) -> Floats:
    """Return sum over the labels, (B, S)."""
    return np.asarray(np.einsum("lbs,lbs->bs", share, values))
