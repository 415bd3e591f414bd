"""Rows of one day become one observation: they share the day's form.

m like tests of one day have the variance share + (1 - share) / m of one test, not 1 / m. Days stand first in
all arrays from here on (D, S): a slice over the leading axis is then contiguous, which is what the recursion
runs on.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from tracker.trend.observations import Floats, Ints, Observations


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
