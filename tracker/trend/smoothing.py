"""Backward recursion: what the whole record says of every past segment.

A second message runs from the end, the likelihood of everything after a knot as a function of the level
there, kept as one normal shape matched where the forward message has its mass. Forward message, segment and
backward message together give each segment's probability and the normal posterior of its slope, so past
stretches, the fitted line and what a roster teaches all come without random draws.
"""

from __future__ import annotations

from abc import ABC, abstractmethod
from dataclasses import dataclass

import numpy as np

from tracker.trend.grid import Grid, Sums
from tracker.trend.normal import log_sum_exp
from tracker.trend.observations import Floats, Ints
from tracker.trend.posterior import classes
from tracker.trend.priors import FLAT
from tracker.trend.recursion import NEVER, Forward, Rules

MOVING = slice(0, 3, 2)
"""The labels that are not flat; a slice copies nothing."""
LOG_NEGLIGIBLE = float(np.log(1e-6))
LOOSEST = 1e-9
AT_ONCE = 8_000
"""Segments from which on a sum is worth its calls."""


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

    def set(self, a: int, labels: int | slice, moments: Floats, ahead: tuple[Floats, Floats]) -> None:
        """Set messages at `a`: with the forward normal `ahead` they have the mixture's mass and moments.

        `moments` (3, L, B, S): log weights, means and variances of the level in the mixture.
        """
        log_weight, mean, variance = moments
        axes = (0, 1)
        top = log_weight.max(axis=axes)
        share = np.exp(log_weight - top)
        total = share.sum(axis=axes)
        share /= total
        centre = (share * mean).sum(axis=axes)
        square = mean - centre
        square *= square
        square += variance
        square *= share
        spread = square.sum(axis=axes)
        m, v = ahead
        precision = np.maximum(1.0 / spread - 1.0 / v, LOOSEST)
        shift = np.where(precision > LOOSEST, centre / spread - m / v, 0.0)
        joint = precision + 1.0 / v
        overlap = 0.5 * ((shift + m / v) ** 2 / joint - m * m / v - np.log(v * joint))
        for field, value in zip(self.values, (precision, shift, top + np.log(total) - overlap), strict=True):
            field[labels, a] = value


def smooth(sums: Sums, grid: Grid, rules: Rules, result: Forward, band: Floats) -> Smoothed:
    """Return stretches and line of the past; `result` is the forward pass on the same grid."""
    tally = _Past(grid, band)
    _backward(sums, grid, rules, result, tally)
    lines = np.cumsum(tally.lines, axis=1)[:, :-1]
    return Smoothed(tally.inside, lines, np.maximum(lines[0], 1e-9))


def count_segments(sums: Sums, grid: Grid, rules: Rules, result: Forward) -> Counted:
    """Return the segments counted by label; `result` is the forward pass on the same grid."""
    tally = _Labels(grid)
    _backward(sums, grid, rules, result, tally)
    return Counted(tally.labels[:4], tally.labels[4:])


def _backward(sums: Sums, grid: Grid, rules: Rules, result: Forward, tally: _Tally) -> None:
    """Run the backward recursion and hand over the segments, from the last first knot to the first."""
    size, series = grid.valid.shape
    arrival = np.concatenate([rules.arrival(grid), np.zeros((3, 1, series))], axis=1)
    unwatched = grid.time[size] - grid.time[grid.last, np.arange(series)]
    arrival[:, size] = rules.hazard[:, None] * unwatched
    arrival += rules.constant()[:, None]
    before = [result.before(label) for label in range(3)]
    mean, variance = np.stack([b.mean for b in before], 1), np.stack([b.variance for b in before], 1)
    coming = np.stack([b.log_weight for b in before], 1) - log_sum_exp(result.log_end, (0, 1))
    coming = np.where(grid.valid[:, None], coming, NEVER)
    coming[0] += rules.first[:, None]
    behind = _Backward(size, series)
    for a in range(size - 1, -1, -1):
        pieces = _Pieces(sums, grid, a)
        free = pieces.integrated(rules, behind.values[:, :, a + 1 :], arrival[:, a + 1 :])
        tally.add(a, _likely(a, free, free.given(mean[a, :, None], variance[a, :, None]), coming[a]))
        if a:
            moving, flat = result.moving.at(a), result.flat.at(a)
            behind.set(a, MOVING, free.given(*moving), moving)
            behind.set(a, FLAT, free.given(*flat)[:, MOVING], flat)
            behind.values[2, FLAT, a] += rules.after_flat


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
        """Return log weight, mean and variance of the level (3, 3, B, S) with a normal before the knot."""
        out = np.empty((3, *self.precision.shape))
        log, level, variance = out
        joint = self.precision + 1.0 / v
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
        h2 -= rules.hazard[:, None, None] * self.length
        return _Free(self.a + precision - l12, shift, h2, step, lean, ratio)


def _likely(a: int, free: _Free, given: Floats, coming: Floats) -> Floats:
    """Return the segments from `a` that are not negligible, each a column.

    Rows: first knot, label, last knot, series, log probability, mean and variance of the level at the first
    knot, and `ratio`, `lean`, `tight` of `_Free`.

    `coming` (3, S) is the log probability of being there with each label to follow.
    """
    log_chance = given[0] + coming[:, None]
    where = np.flatnonzero(log_chance > LOG_NEGLIGIBLE)
    label, b, s = np.unravel_index(where, log_chance.shape)
    out = np.empty((10, where.size))
    out[0], out[1], out[2], out[3] = a, label, b + (a + 1), s
    parts = (log_chance, given[1], given[2], free.ratio, free.lean, free.tight)
    for row, values in zip(out[4:], parts, strict=True):
        values.take(where, out=row)
    return out


class _Tally(ABC):
    """Sums over segments. They wait until there are enough for few calls, and are summed in the cache."""

    def __init__(self, grid: Grid) -> None:
        self.grid = grid
        self.waiting: list[Floats] = []
        self.from_knot = grid.valid.shape[0]

    def add(self, a: int, segments: Floats) -> None:
        """Take the segments (10, K) that begin at knot `a`, the one before the last taken."""
        self.waiting.append(segments)
        if a == 0 or sum(one.shape[1] for one in self.waiting) > AT_ONCE:
            self.sum_up(a, np.concatenate(self.waiting, axis=1))
            self.waiting.clear()
            self.from_knot = a

    @abstractmethod
    def sum_up(self, from_knot: int, segments: Floats) -> None:
        """Sum the segments that begin at `from_knot` or later, before `self.from_knot`."""


def _slope_of(segments: Floats) -> tuple[Floats, Floats]:
    """Return mean and variance of the segments' slopes."""
    level, level_var, ratio, lean, tight = segments[5:]
    return lean - ratio * level, 1.0 / tight + ratio * ratio * level_var


class _Labels(_Tally):
    """Segments counted by label."""

    def __init__(self, grid: Grid) -> None:
        super().__init__(grid)
        series = np.arange(grid.valid.shape[1])
        self.end = grid.time[grid.last, series]
        self.labels = np.zeros((6, 3, series.size))

    def sum_up(self, from_knot: int, segments: Floats) -> None:  # noqa: ARG002 - as `_Tally`
        size, series = self.grid.valid.shape
        a, label, b, s = segments[:4].astype(np.int64)
        chance = np.exp(np.minimum(segments[4], 0.0))
        slope, slope_var = _slope_of(segments)
        risk = np.maximum(np.minimum(self.grid.time[b, s], self.end[s]) - self.grid.time[a, s], 0.0)
        square = slope_var + slope * slope
        for i, value in enumerate((np.ones_like(slope), b < size, risk, a == 0, slope, square)):
            self.labels[i] += _total(label * series + s, chance * value, 3, series)


class _Past(_Tally):
    """Which stretches were flat, and the line."""

    def __init__(self, grid: Grid, band: Floats) -> None:
        super().__init__(grid)
        size, series = grid.valid.shape
        self.band = band
        self.inside = np.zeros((size, size + 1, series))
        self.lines = np.zeros((6, size + 1, series))

    def sum_up(self, from_knot: int, segments: Floats) -> None:
        size, series = self.grid.valid.shape
        a, _, b, s = segments[:4].astype(np.int64)
        log_chance, level, level_var, ratio = segments[4:8]
        chance = np.exp(np.minimum(log_chance, 0.0))
        slope, slope_var = _slope_of(segments)
        cross = -ratio * level_var
        near = classes(slope, np.sqrt(slope_var), self.band[s])[1]
        start = self.grid.time[a, s]
        intercept = level - slope * start
        linear = cross - start * slope_var
        moments = (
            np.ones_like(slope), intercept, slope,
            level_var - start * (cross + linear) + intercept * intercept,
            linear + intercept * slope, slope_var + slope * slope,
        )  # fmt: skip
        # a segment's moments hold for the intervals from its first knot to before its last
        row = a - from_knot
        first, last = row * series + s, b * series + s
        knots = self.from_knot - from_knot
        for i, value in enumerate(moments):
            self.lines[i, from_knot : self.from_knot] += _total(first, chance * value, knots, series)
            self.lines[i] -= _total(last, chance * value, size + 1, series)
        cell = (row * (size + 1) + b) * series + s
        self.inside[from_knot : self.from_knot] = _total(cell, chance * near, knots, size + 1, series)


def _total(cell: Ints, values: Floats, *shape: int) -> Floats:
    """Sum values that fall into the same cell of an array of this shape."""
    found: Floats = np.bincount(cell, values, int(np.prod(shape))).astype(np.float64)
    return found.reshape(shape)
