"""The time grid: tests collapsed to days, knots, and running sums between them.

m like tests of one day have the variance share + (1 - share) / m of one test, not 1 / m. Days stand first in
all arrays from here on (D, S): a slice over the leading axis is then contiguous, which is what the recursion
runs on.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from tracker.engine.trend.observations import Bools, Floats, Ints, Observations


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
    index : (G, S) day of each knot; knot 0 is the first day.
    time : (G + 1, S) months since the first test, the last test's time at the end.
    valid : (G, S) False for padding and within the last `min_last` months.
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


def knots(days: Days, limit: int, min_last: float) -> Grid:
    """Take every n-th day of each series so that at most `limit` knots remain."""
    series = np.arange(days.count.size)
    stride = -(-days.count // limit)
    size = int((-(-days.count // stride)).max())
    index = np.arange(size)[:, None] * stride[None, :]
    end = days.t[days.count - 1, series]
    inside = index < days.count
    index = np.minimum(index, days.count - 1)
    time = days.t[index, series]
    valid = inside & (time <= end - min_last)
    valid[0] = True
    return Grid(index, np.vstack([time, end]), valid, valid.sum(axis=0) - 1)


@dataclass(frozen=True)
class Sums:
    """Sums over the days before each knot, (G + 1, S), of products of the columns one (o), time (r), y."""

    oo: Floats
    oo_r: Floats
    rr: Floats
    oy: Floats
    ry: Floats
    constant: Floats
    """(S,) what every segmentation has in common: -1/2 sum y^2 + sum log scale - n/2 log 2 pi."""


def running_sums(grid: Grid, columns: Floats, count: Ints) -> Sums:
    """Add up the whitened columns (4, D, S) of `tracker.engine.trend.noise` between the knots."""
    one, time, level, scale = columns
    series = np.arange(count.size)
    rows = np.vstack([grid.index, count[None, :]])
    # a padded knot has no days of its own and none before the end that would not be counted
    rows[:-1] = np.where(grid.valid, rows[:-1], count)

    def at_knots(product: Floats) -> Floats:
        total = np.zeros((product.shape[0] + 1, product.shape[1]))
        np.cumsum(product, axis=0, out=total[1:])
        return np.asarray(total[rows, series])

    constant = scale.sum(axis=0) - 0.5 * (level * level).sum(axis=0) - 0.5 * np.log(2 * np.pi) * count
    return Sums(
        at_knots(one * one),
        at_knots(one * time),
        at_knots(time * time),
        at_knots(one * level),
        at_knots(time * level),
        constant,
    )
