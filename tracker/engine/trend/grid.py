"""The time grid: tests collapsed to days, knots, and running sums between them.

m like tests of one day have the variance share + (1 - share) / m of one test, not 1 / m. Days stand first in
all arrays from here on (D, S): a slice over the leading axis is then contiguous, which is what the recursion
runs on.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from tracker.engine.trend.observations import Bools, Floats, Ints, Observations
from tracker.model.units import DAYS_PER_MONTH


@dataclass(frozen=True)
class Days:
    """Where each row of a batch of observations belongs.

    Attributes
    ----------
    t : (D, S) months since the series' first test; padded with its last value.
    count : (S,) days in use.
    slot : (S, N) index into the flattened (D, S) arrays.
    single : no day of any series has two tests.
    """

    t: Floats
    count: Ints
    slot: Ints
    single: bool

    def add(self, values: Floats) -> Floats:
        """Sum row values (S, N) within days, (D, S)."""
        size = self.t.size
        total: Floats = np.bincount(self.slot.ravel(), values.ravel(), size).astype(np.float64)
        return total.reshape(self.t.shape)

    def spread(self, values: Floats) -> Floats:
        """Return the day's value (D, S) for every row, (S, N)."""
        return np.asarray(values.ravel()[self.slot])


def days_of(observations: Observations) -> Days:
    """Return where the rows of each series belong."""
    t = observations.t
    series, width = t.shape
    used = np.arange(width)[None, :] < observations.count[:, None]
    new = np.ones(t.shape, bool)
    new[:, 1:] = (np.diff(t, axis=1) > 0) & used[:, 1:]
    day = np.cumsum(new, axis=1) - 1
    count = day.max(axis=1) + 1
    slot = day * series + np.arange(series)[:, None]
    times = np.zeros((int(count.max()), series))
    times.ravel()[slot.ravel()] = (t - t[:, :1]).ravel()
    times = np.maximum.accumulate(times, axis=0)
    return Days(times, count, slot, bool((count == observations.count).all()))


def collapse(days: Days, weight: Floats, share: float) -> Floats:
    """Return the weight (D, S) of each day's weighted mean, from the weights (S, N) of its rows.

    Day variance is (1 - share + share * m) / sum(w) with m = sum(w)^2 / sum(w^2), the effective number of
    rows.
    """
    total = days.add(weight)
    if days.single:
        return total
    squares = days.add(weight * weight)
    effective = total * total / np.maximum(squares, 1e-300)
    return total / (1.0 - share + share * effective)


@dataclass(frozen=True)
class Grid:
    """Possible knots of a batch.

    Attributes
    ----------
    index : (G, S) day of each knot; knot 0 is the first day, the last valid one the last day.
    time : (G + 1, S) months since the first test, the last test's time at the end.
    valid : (G, S) False for padding, which stands at the end.
    last : (S,) number of the last valid knot.
    """

    index: Ints
    time: Floats
    valid: Bools
    last: Ints


def cells(time: Floats) -> tuple[Floats, Floats]:
    """Return the spans (low, high) that the knots at `time` (G, ...) stand for.

    A change lies anywhere between the tests; a knot stands for the half-way points to its neighbours. The
    first knot stands for itself, the beginning of the record.
    """
    middle = 0.5 * (time[1:] + time[:-1])
    return np.concatenate([time[:1], middle]), np.concatenate([time[:1], middle[1:], time[-1:]])


SHORTEST_GAP, GROWTH, LONGEST_GAP = 7 / DAYS_PER_MONTH, 0.18, 3.7
"""Months between knots: at the end, as a share of their age, and at most; else a long past could not be
followed and its misfit would pass for noise."""
STEEPER, STEEPEST = 1.15, 50.0
"""By how much the share is raised to save knots, and up to where."""
LONG = 30.0
"""Months from which on a record gets a further knot for each `LONGEST_GAP`."""
MOST_LONG_GAPS = 100
"""Of a record longer still the longest gap is its length over this."""
RECENT = 8
"""Weekly knots at the end of the grid of the past."""


def knots(days: Days, limit: int) -> Grid:
    """Lay about `limit` knots that are dense at the end and grow sparse with their age.

    They lie a week apart at the end, then two weeks, four, and so on up to sixteen: a gap is taken up to the
    age at which twice the gap is `GROWTH` of it. All count from the first test, so that a further test leaves
    the knots where they were and only drops some: what was known at them can be compared from week to week.
    Each stands for the first test at or after it, with the first and the last test. Where they are too many,
    `GROWTH` is raised until they fit; a record of more than 30 months has a further knot for each longest
    gap, so that what is said of the present does not hang on how long the record is. A record of at most
    `limit` days has a knot at each.
    """
    series = np.arange(days.count.size)
    end = days.t[days.count - 1, series]
    used = np.arange(days.t.shape[0])[:, None] < days.count
    index = [((days.t < time - 1e-9) & used).sum(axis=0) for time in _times(end, limit)]
    # where every test can be a knot, every test is one
    short = np.where(days.count <= limit, days.count, 0)
    all_days = [np.minimum(day, np.maximum(short - 1, 0)) for day in range(int(short.max()))]
    return _grid(days, np.stack([np.zeros_like(days.count), *index, *all_days, days.count - 1]))


def knots_of_the_past(days: Days, limit: int) -> Grid:
    """Take every n-th day, at most `limit` of them, and those a week apart at the end."""
    end = days.t[days.count - 1, np.arange(days.count.size)]
    late = [end - age for age in np.arange(1, RECENT + 1) * SHORTEST_GAP]
    used = np.arange(days.t.shape[0])[:, None] < days.count
    recent = np.stack([((days.t < time - 1e-9) & used).sum(axis=0) for time in late])
    stride = -(-days.count // limit)
    size = int((-(-days.count // stride)).max())
    even = np.minimum(np.arange(size)[:, None] * stride, days.count - 1)
    return _grid(days, np.vstack([even, recent, days.count[None] - 1]))


def _times(end: Floats, limit: int) -> Floats:
    """Return the times (K, S) of the knots between the first and the last test; beyond it: its end."""
    columns = [_times_of(float(length), limit) for length in end]
    size = max((len(column) for column in columns), default=0)
    out = np.tile(end, (size, 1))
    for series, column in enumerate(columns):
        out[: len(column), series] = column
    return out


@lru_cache(maxsize=4096)
def _times_of(length: float, limit: int) -> tuple[float, ...]:
    """Return the times of the knots within a record of so many months."""
    longest = max(LONGEST_GAP, length / MOST_LONG_GAPS)
    most = limit - 2 + max(0.0, length - LONG) / longest  # the first and the last test are knots too
    growth = GROWTH
    while True:
        times, gap, young = [], SHORTEST_GAP, 0.0
        while young < length:
            last = 2.0 * gap > longest
            old = length if last else min(2.0 * gap / growth, length)
            first = np.floor((length - old) / gap) + 1
            stop = np.ceil((length - young) / gap - 1e-6)
            times += [gap * k for k in range(int(first), int(stop))]
            young, gap = old, 2.0 * gap
        if len(times) <= most or growth > STEEPEST:
            return tuple(times)
        growth *= STEEPER


def _grid(days: Days, index: Ints) -> Grid:
    """Return the grid of some days (K, S) in any order; each is taken once."""
    series = np.arange(days.count.size)
    index = np.sort(index, axis=0)
    new = np.ones(index.shape, bool)
    new[1:] = np.diff(index, axis=0) > 0
    count = new.sum(axis=0)
    order = np.argsort(~new, axis=0, kind="stable")[: int(count.max())]
    valid = np.arange(order.shape[0])[:, None] < count
    index = np.where(valid, np.take_along_axis(index, order, 0), days.count - 1)
    time = days.t[index, series]
    return Grid(index, np.vstack([time, days.t[days.count - 1, series]]), valid, count - 1)


@dataclass(frozen=True)
class Sums:
    """Sums over the days before each knot, (G + 1, S), of products of the columns one (o), time (r), y.

    `log_scale` sums the log of the scaling less half a log of 2 pi; `tests` counts the days.
    """

    oo: Floats
    oo_r: Floats
    rr: Floats
    oy: Floats
    ry: Floats
    yy: Floats
    log_scale: Floats
    tests: Floats

    @property
    def constant(self) -> Floats:
        """Return (G + 1, S) what every segmentation of the days before a knot has in common."""
        return np.asarray(self.log_scale - 0.5 * self.yy)

    def with_noise(self, factor: float) -> Sums:
        """Return the sums as they are where the noise is `factor` times as large."""
        less = 1.0 / factor**2
        return Sums(
            self.oo * less,
            self.oo_r * less,
            self.rr * less,
            self.oy * less,
            self.ry * less,
            self.yy * less,
            self.log_scale - self.tests * np.log(factor),
            self.tests,
        )


def running_sums(grid: Grid, columns: Floats, count: Ints) -> Sums:
    """Sum whitened columns (4, D, S): one, time, level, log of the scaling, between the knots."""
    one, time, level, scale = columns
    series = np.arange(count.size)
    rows = np.vstack([grid.index, count[None, :]])
    # a padded knot has no days of its own and none before the end that would not be counted
    rows[:-1] = np.where(grid.valid, rows[:-1], count)

    def at_knots(product: Floats) -> Floats:
        total = np.zeros((product.shape[0] + 1, product.shape[1]))
        np.cumsum(product, axis=0, out=total[1:])
        return np.asarray(total[rows, series])

    tests = rows.astype(float)
    return Sums(
        at_knots(one * one),
        at_knots(one * time),
        at_knots(time * time),
        at_knots(one * level),
        at_knots(time * level),
        at_knots(level * level),
        at_knots(scale) - 0.5 * np.log(2 * np.pi) * tests,
        tests,
    )
