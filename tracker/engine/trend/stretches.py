"""Stretches of the past: where they begin and end, and how sure that is."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np

from tracker.engine.trend.grid import Grid, cells
from tracker.engine.trend.observations import Bools, Floats
from tracker.engine.trend.posterior import Line, Stretch, quantiles
from tracker.engine.trend.smoothing import Smoothed
from tracker.model.units import DAYS_PER_MONTH

LIKELY = 0.3
"""A stretch runs where the rate is inside the band with at least this probability. Chosen by F1 on
development seeds; 0.2 to 0.35 differ by less than its error."""
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


@dataclass(frozen=True)
class _Run:
    """Likely intervals in a row of one series: masses of their first and last knots, and those knots' spans.

    `start`, `end` (3, n): mass, low, high. `now` (months) is the time of the last test, and whether the run
    reaches it: as one segment, or as several with the rate inside the band all along more likely than not.
    """

    series: int
    start: Floats
    end: Floats
    now: float
    current: bool


def stretches_of(
    smoothed: Smoothed, grid: Grid, inside: Floats, origin: Floats
) -> tuple[tuple[Stretch, ...], ...]:
    """Return the flat stretches of each series in time order."""
    out: list[list[Stretch]] = [[] for _ in origin]
    runs = [run for s in range(origin.size) for run in _runs(smoothed, grid, inside, s)]
    starts, ends = _points([run.start for run in runs]), _points([run.end for run in runs])
    for run, start, end in zip(runs, starts, ends, strict=True):
        found = _stretch(run, start, end, float(origin[run.series]))
        if found is not None:
            out[run.series].append(found)
    return tuple(map(tuple, out))


def _runs(smoothed: Smoothed, grid: Grid, inside: Floats, s: int) -> Iterator[_Run]:
    """Find the runs of one series."""
    size, count = grid.valid.shape[0], int(grid.last[s]) + 1
    likely = inside[:count, s]
    flat: Bools = np.concatenate([[False], likely >= LIKELY, [False]])
    edges = np.flatnonzero(flat[1:] != flat[:-1]).tolist()
    if not edges:
        return
    knots = np.append(np.arange(count), size)
    time = grid.time[knots, s]
    low, high = cells(time)
    high[-1], low[-1] = time[-1], time[-1]
    for first, last in zip(edges[::2], edges[1::2], strict=True):
        core = first + int(np.argmax(likely[first:last]))
        begun, after = slice(core + 1), slice(core + 1, None)
        # the segments over the likeliest interval, by the knots that they run between
        cover = smoothed.inside[begun, knots[after], s]
        start, end = cover.sum(axis=1), cover.sum(axis=0)
        yield _Run(
            s,
            np.stack([start, low[begun], high[begun]]),
            np.stack([end, low[after], high[after]]),
            float(time[-1]),
            bool(end[-1] > 0.5 * end.sum() or (last == count and (likely[core:] > 0.5).all())),
        )


def _points(masses: Sequence[Floats]) -> list[list[float]]:
    """Return the 5, 50 and 95 % points of some masses (3, n), all at once since calls are what it costs."""
    wide = np.zeros((3, max((mass.shape[1] for mass in masses), default=1), len(masses)))
    for column, mass in enumerate(masses):
        wide[:, : mass.shape[1], column] = mass
    points: list[list[float]] = quantiles(*wide).T.tolist()
    return points


def _stretch(run: _Run, start: list[float], end: list[float], origin: float) -> Stretch | None:
    """Return a run as a stretch, None if it is too short; times from `origin`."""
    (begin_low, begin, begin_high), (stop_low, stop, stop_high) = start, end
    if stop - begin < SHORTEST:
        return None
    opened = run.start[0, 0] > BEFORE_RECORD * run.start[0].sum()
    return Stretch(
        origin + begin,
        origin + (run.now if run.current else stop),
        None if opened else origin + begin_low,
        origin + begin_high,
        origin + stop_low,
        origin + (run.now if run.current else stop_high),
        run.current,
    )
