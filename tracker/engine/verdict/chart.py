"""What a chart shows: the tests moved to one scale, and the fitted line with its band, as paces."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from tracker.engine.series.comparable import Series
from tracker.engine.series.rows import day_dates
from tracker.engine.trend.posterior import Answer, Line
from tracker.engine.verdict.verdict import Curve, Point

Z90 = 1.6448536269514722
"""95 % point of the normal: 90 % lie within it on either side."""


def points(series: Series, answer: Answer, s: int) -> tuple[Point, ...]:
    """Return the tests of swimmer `s`, each as swum and on the scale of the reference protocol."""
    shift = series.design @ answer.offset[s] if series.features else np.zeros(len(series.kinds))
    reference = shift[int(answer.reference[s])]
    level, kind = series.level[s], series.kind[s]
    return tuple(
        map(
            Point,
            day_dates(series.days(s, series.months[s])),
            paces_at(level),
            paces_at(level - shift[kind] + reference),
            (series.kinds[code] for code in kind.tolist()),
            answer.set_aside[s, : level.size].tolist(),
        )
    )


def curve(series: Series, answer: Answer, s: int) -> Curve | None:
    """Return the fitted line of swimmer `s`; None where the engine was not asked for the past.

    Where the level jumped at a dated event the line has a step: two points on one day.
    """
    if answer.line is None:
        return None
    line = answer.line
    time, level, sd = _with_steps(series, answer, line, s)
    return Curve(
        tuple(day_dates(series.days(s, time))),
        tuple(paces_at(level)),
        tuple(paces_at(level + Z90 * sd)),
        tuple(paces_at(level - Z90 * sd)),
    )


def present_pace(series: Series, answer: Answer, s: int) -> float:
    """Return the pace on the line at the last test of swimmer `s`, s per 100 m."""
    return pace_at(answer.today[s, 0] + jumped(series, answer, s))


def jumped(series: Series, answer: Answer, s: int) -> float:
    """Return how far the level of swimmer `s` has jumped in all by the last test, percent."""
    return float(_jump_by(series, answer, s, series.months[s][-1:])[0])


def _with_steps(
    series: Series, answer: Answer, line: Line, s: int
) -> tuple[NDArray[np.float64], NDArray[np.float64], NDArray[np.float64]]:
    """Return time, level and sd of the line, with the jumps put in."""
    time, level, sd = line.time[s], line.level[s], line.sd[s]
    steps = series.jumps[s]
    steps = steps[(steps > time[0]) & (steps < time[-1])]
    before = np.nextafter(steps, -np.inf)
    all_times = np.unique(np.concatenate([time, before, steps]))
    levels = np.interp(all_times, time, level) + _jump_by(series, answer, s, all_times)
    return all_times, levels, np.interp(all_times, time, sd)


def _jump_by(series: Series, answer: Answer, s: int, months: NDArray[np.float64]) -> NDArray[np.float64]:
    """Return how far the level has jumped in all at each of `months`."""
    total = np.zeros(months.size)
    for when, size in zip(series.jumps[s], answer.jump[s], strict=False):
        total += np.where(months >= when, size, 0.0)
    return total


def pace_at(level: float) -> float:
    """Return the pace, s per 100 m, of a level in percent."""
    return paces_at(np.array([level]))[0]


def paces_at(level: NDArray[np.float64]) -> list[float]:
    """Return the paces of many levels."""
    paces: list[float] = np.exp(-level / 100.0).tolist()
    return paces
