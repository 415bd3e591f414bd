"""Backward recursion: what the whole record says of every past segment.

A second message runs from the end, the likelihood of everything after a knot as a function of the level
there, kept as one normal shape matched where the forward message has its mass. Forward message, segment and
backward message together give each segment's probability and the normal posterior of its slope, so past
stretches, the fitted line and what a roster teaches all come without random draws.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from tracker.trend.grid import Grid, Sums
from tracker.trend.normal import log_sum_exp
from tracker.trend.observations import Floats, Ints
from tracker.trend.posterior import classes
from tracker.trend.priors import FLAT
from tracker.trend.recursion import NEVER, Forward, Rules

LOG_NEGLIGIBLE = float(np.log(1e-6))
LOOSEST = 1e-9


@dataclass(frozen=True)
class Smoothed:
    """Posterior of the segments of a batch, summed up. G knots, S series.

    Attributes
    ----------
    inside : (G, G + 1, S) probability of a segment from knot a to knot b (G: the end) with its rate inside
        the band.
    lines : (6, G, S) for the interval that begins at each knot the expectations of 1, c, s, c^2, c s, s^2
        where the level is c + s * time.
    label : (4, 3, S) by label: expected number of segments, of which ended, their time at risk in months, and
        number that opened the record.
    mass : (G, S) what the probabilities of the segments over an interval add up to: 1 up to the
        approximation.
    slopes : (2, 3, S) by label: sums of the slope and of its square.
    """

    inside: Floats
    lines: Floats
    mass: Floats
    label: Floats
    slopes: Floats


class _Backward:
    """Messages from the end, as precision, shift and log constant: exp(k - c^2 J / 2 + H c)."""

    def __init__(self, size: int, series: int) -> None:
        self.values = np.zeros((3, size + 1, series))
        self.values[2, :size] = NEVER

    def match(self, a: int, moments: Floats, ahead: tuple[Floats, Floats]) -> None:
        """Set the message at `a`: with the forward normal `ahead` it has the mixture's mass and moments.

        `moments` (3, L, B, S): log weights, means and variances of the level in the mixture.
        """
        log_weight, mean, variance = moments
        axes = (0, 1)
        top = log_weight.max(axis=axes)
        share = np.exp(log_weight - top)
        total = share.sum(axis=axes)
        share = share / total
        centre = (share * mean).sum(axis=axes)
        spread = (share * (variance + (mean - centre) ** 2)).sum(axis=axes)
        m, v = ahead
        precision = np.maximum(1.0 / spread - 1.0 / v, LOOSEST)
        shift = np.where(precision > LOOSEST, centre / spread - m / v, 0.0)
        joint = precision + 1.0 / v
        overlap = 0.5 * ((shift + m / v) ** 2 / joint - m * m / v - np.log(v * joint))
        self.values[:, a] = precision, shift, top + np.log(total) - overlap


def smooth(sums: Sums, grid: Grid, rules: Rules, result: Forward, band: Floats) -> Smoothed:
    """Run the backward recursion and sum up; `result` is the forward pass on the same grid."""
    size, series = grid.valid.shape
    arrival = np.concatenate([rules.arrival(grid), np.zeros((3, 1, series))], axis=1)
    unwatched = grid.time[size] - grid.time[grid.last, np.arange(series)]
    arrival[:, size] = rules.hazard[:, None] * unwatched
    # two messages: for a predecessor that is flat (then flat cannot follow) and for any other
    after_flat, after_other = _Backward(size, series), _Backward(size, series)
    log_total = log_sum_exp(result.log_end, (0, 1))
    tally, constant = _Tally(grid, band), rules.constant()
    for a in range(size - 1, -1, -1):
        pieces = _Pieces(sums, grid, a)
        frees = []
        for label in range(3):
            later = (after_flat if label == FLAT else after_other).values[:, a + 1 :]
            frees.append(pieces.integrated(rules, label, later, constant[label] + arrival[label, a + 1 :]))
            before = result.before(label)
            given = frees[label].given(before.at(a))
            if a == 0:
                given[0] += rules.first[label]
            tally.add(a, label, frees[label], given, before.log_weight[a] - log_total)
        if a:
            moving, flat = result.moving.at(a), result.flat.at(a)
            after_other.match(a, np.stack([f.given(moving) for f in frees], axis=1), moving)
            after_flat.match(a, np.stack([f.given(flat) for f in frees[::2]], axis=1), flat)
            after_flat.values[2, a] += rules.after_flat
    return tally.summed()


@dataclass(frozen=True)
class _Free:
    """A segment and all that follows as a likelihood of the level at its first knot, slope integrated out."""

    precision: Floats
    shift: Floats
    constant: Floats
    tight: Floats
    lean: Floats
    ratio: Floats

    def given(self, before: tuple[Floats, Floats]) -> Floats:
        """Return log weight, mean and variance of the level (3, B, S) with the normal `before` the knot."""
        m, v = before
        joint = self.precision + 1.0 / v
        total = self.shift + m / v
        level = total / joint
        return np.stack(
            [self.constant + 0.5 * (total * level - m * m / v - np.log(joint * v)), level, 1.0 / joint]
        )


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

    def integrated(self, rules: Rules, label: int, later: Floats, constant: Floats) -> _Free:
        """Return the segments, slopes integrated out; `later` (3, B, S) are the messages behind them."""
        tight, rate = rules.precision[label], rules.mean[label]
        precision, shift, beyond = later
        step = self.length * precision
        l12 = self.b + step
        l22 = self.c + tight + self.length * step
        h2 = self.e + rate * tight + self.length * shift
        ratio, lean = l12 / l22, h2 / l22
        log = beyond + constant + 0.5 * (h2 * lean - np.log(l22)) - rules.hazard[label] * self.length
        return _Free(self.a + precision - l12 * ratio, self.d + shift - ratio * h2, log, l22, lean, ratio)


class _Tally:
    """Sums over segments as they come by, from the last first knot to the first."""

    def __init__(self, grid: Grid, band: Floats) -> None:
        size, series = grid.valid.shape
        self.grid, self.band = grid, band
        self.inside = np.zeros((size, size + 1, series))
        self.lines = np.zeros((6, size + 1, series))
        self.label = np.zeros((4, 3, series))
        self.slopes = np.zeros((2, 3, series))
        self.watched = grid.time[grid.last, np.arange(series)]

    def add(self, a: int, label: int, free: _Free, given: Floats, coming: Floats) -> None:
        """Add one label's segments that begin at `a`; `coming` (S,) is the log probability of being there."""
        log_chance = given[0] + np.where(self.grid.valid[a], coming, NEVER)
        b, s = np.nonzero(log_chance > LOG_NEGLIGIBLE)
        chance = np.exp(np.minimum(log_chance[b, s], 0.0))
        level, level_var, ratio = given[1][b, s], given[2][b, s], free.ratio[b, s]
        slope = free.lean[b, s] - ratio * level
        slope_var = 1.0 / free.tight[b, s] + ratio * ratio * level_var
        cross = -ratio * level_var
        near = classes(slope, np.sqrt(slope_var), self.band[s])[1]
        start = self.grid.time[a, s]
        intercept = level - slope * start
        linear = cross - start * slope_var
        square = slope_var + slope * slope
        shape = log_chance.shape
        cell = b * shape[1] + s
        weighted = (
            np.ones_like(slope), intercept, slope,
            level_var - start * (cross + linear) + intercept * intercept,
            linear + intercept * slope, square,
        )  # fmt: skip
        self.inside[a, a + 1 :] += _summed(cell, chance * near, shape)
        for i, value in enumerate(weighted):
            moment = _summed(cell, chance * value, shape)
            self.lines[i, a] += moment.sum(axis=0)
            self.lines[i, a + 1 :] -= moment
        ended = b < shape[0] - 1
        risk = np.maximum(np.minimum(self.grid.time[b + a + 1, s], self.watched[s]) - start, 0.0)
        for i, value in enumerate((np.ones_like(slope), ended, risk)):
            self.label[i, label] += np.bincount(s, chance * value, shape[1])
        if a == 0:
            self.label[3, label] = np.bincount(s, chance, shape[1])
        for i, value in enumerate((slope, square)):
            self.slopes[i, label] += np.bincount(s, chance * value, shape[1])

    def summed(self) -> Smoothed:
        size = self.grid.valid.shape[0]
        lines = np.cumsum(self.lines, axis=1)[:, :size]
        return Smoothed(self.inside, lines, np.maximum(lines[0], 1e-9), self.label, self.slopes)


def _summed(cell: Ints, values: Floats, shape: tuple[int, ...]) -> Floats:
    total: Floats = np.bincount(cell, values, shape[0] * shape[1]).astype(np.float64)
    return total.reshape(shape)
