"""Past and present flat stretches from the smoothed segments."""

from __future__ import annotations

import numpy as np

from tracker.records.units import DAYS_PER_MONTH
from tracker.trend.answer import Line, Stretch
from tracker.trend.grid import Grid, cells
from tracker.trend.observations import Bools, Floats
from tracker.trend.posterior import quantiles
from tracker.trend.smoothing import Smoothed

LIKELY = 0.25
"""A stretch runs where the rate is inside the band with at least this probability ..."""
SURE = 0.35
"""... and somewhere with this one."""
SHORTEST = 6 * 7 / DAYS_PER_MONTH
"""Months: shorter stretches are not reported."""
BEFORE_RECORD = 0.05
"""Probability of a beginning before the first test from which on the low end of the start is left open."""


def probability_inside(smoothed: Smoothed) -> Floats:
    """Return (G, S) the probability that the rate in the interval from each knot is inside the band."""
    size = smoothed.inside.shape[0]
    change = -smoothed.inside.sum(axis=0)[:size]
    change += smoothed.inside.sum(axis=1)
    return np.asarray(np.clip(np.cumsum(change, axis=0) / smoothed.mass, 0.0, 1.0))


def line_of(smoothed: Smoothed, grid: Grid, inside: Floats, origin: Floats, centre: Floats) -> Line:
    """Return the fitted level at each knot with its sd; `origin` and `centre` (S,) are added back."""
    size, series = grid.valid.shape
    row = np.minimum(np.arange(size + 1), size - 1)
    row = np.minimum(row[:, None], grid.last[None, :])
    _, c, s, cc, cs, ss = ((m / smoothed.mass)[row, np.arange(series)] for m in smoothed.lines)
    last = grid.time[size]
    time = np.where(np.arange(size + 1)[:, None] <= grid.last, grid.time, last)
    level = c + s * time
    square = cc + time * (2 * cs + time * ss)
    sd = np.sqrt(np.maximum(square - level**2, 1e-12))
    return Line((time + origin).T, (level + centre).T, sd.T, inside.T)


def stretches_of(
    smoothed: Smoothed, grid: Grid, inside: Floats, origin: Floats
) -> tuple[tuple[Stretch, ...], ...]:
    """Return the flat stretches of each series in time order."""
    size, series = grid.valid.shape
    out = []
    for s in range(series):
        count = int(grid.last[s]) + 1
        time = np.append(grid.time[:count, s], grid.time[size, s])
        ends = np.append(np.arange(1, count), size)
        segments = smoothed.inside[:count, :, s][:, ends]
        out.append(tuple(_runs(inside[:count, s], time, segments, float(origin[s]))))
    return tuple(out)


def _runs(inside: Floats, time: Floats, segments: Floats, origin: float) -> list[Stretch]:
    """Find runs of likely intervals; `segments` (K, K) is the probability of a flat one from a to after b."""
    flat: Bools = np.concatenate([[False], inside >= LIKELY, [False]])
    low, high = (edge[:, None] for edge in cells(time))
    high[-1], low[-1] = time[-1], time[-1]
    edges = np.nonzero(flat[1:] != flat[:-1])[0].reshape(-1, 2)
    found = []
    for first, last in edges:
        core = first + int(np.argmax(inside[first:last]))
        if inside[core] < SURE:
            continue
        cover = segments[: core + 1, core:]
        start, end = cover.sum(axis=1), cover.sum(axis=0)
        begin_low, begin, begin_high = quantiles(start[:, None], low[: core + 1], high[: core + 1])[:, 0]
        stop_low, stop, stop_high = quantiles(end[:, None], low[core + 1 :], high[core + 1 :])[:, 0]
        if stop - begin < SHORTEST:
            continue
        opened = start[0] > BEFORE_RECORD * start.sum()
        current = end[-1] > 0.5 * end.sum()
        found.append(
            Stretch(
                origin + float(begin),
                origin + float(time[-1] if current else stop),
                None if opened else origin + float(begin_low),
                origin + float(begin_high),
                origin + float(stop_low),
                origin + float(time[-1] if current else stop_high),
                bool(current),
            )
        )
    return found
