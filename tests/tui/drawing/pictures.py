"""Pictures to draw: a year of tests with a flat stretch and the lives of three faults."""

from __future__ import annotations

import datetime as dt
from typing import Any

from tracker.engine.verdict.verdict import Curve, FlatStretch, Point
from tracker.model.vocabularies import State
from tracker.tui.drawing.picture import Lane, LaneSpell, Mark, Picture

FIRST, LAST = dt.date(2025, 7, 6), dt.date(2026, 6, 28)
FLAT = FlatStretch(
    start=dt.date(2025, 12, 7),
    end=dt.date(2026, 3, 29),
    start_low=dt.date(2025, 11, 20),
    start_high=dt.date(2025, 12, 25),
    end_low=dt.date(2026, 3, 15),
    end_high=dt.date(2026, 4, 10),
    current=False,
)


def line(day: dt.date) -> float:
    """The pace of the line: gaining, flat, gaining."""
    weeks = (day - FIRST).days / 7
    return 100.0 - 0.25 * min(weeks, 22) - 0.25 * max(0.0, weeks - 38)


def points(shift: float = 0.0) -> tuple[Point, ...]:
    """A test a week; every fifth of another protocol, number 30 set aside."""
    found = []
    for week in range(52):
        day = FIRST + dt.timedelta(days=7 * week)
        pace = line(day) + shift + (0.6 if week % 2 else -0.6) + (8.0 if week == 30 else 0.0)
        moved = pace - 1.5 if week % 5 == 4 else pace
        found.append(Point(day, pace, moved, "400 m SCM", set_aside=week == 30))
    return tuple(found)


def curve() -> Curve:
    """The line with a band of one second either way."""
    days = tuple(FIRST + dt.timedelta(days=7 * week) for week in range(52))
    paces = tuple(line(day) for day in days)
    return Curve(days, paces, tuple(p - 1 for p in paces), tuple(p + 1 for p in paces))


def a_picture(**changes: Any) -> Picture:
    """A picture with everything on it."""
    values: dict[str, Any] = {
        "until": LAST,
        "points": points(),
        "curve": curve(),
        "flats": (FLAT,),
        "lanes": (
            Lane(
                "breath-late L",
                (
                    LaneSpell(State.OPEN, dt.date(2025, 11, 1), dt.date(2026, 2, 1)),
                    LaneSpell(State.IN_WORK, dt.date(2026, 2, 1), dt.date(2026, 4, 5)),
                    LaneSpell(State.CORRECTED, dt.date(2026, 4, 5), None),
                ),
            ),
            Lane("kick-wide", (LaneSpell(State.PARKED, dt.date(2025, 9, 1), None),)),
            Lane("entry-crossing", (LaneSpell(State.BACK, dt.date(2026, 5, 1), None),)),
        ),
        "marks": (
            Mark(dt.date(2025, 10, 4), None, "camp"),
            Mark(dt.date(2026, 1, 3), dt.date(2026, 1, 20), "lay-off"),
        ),
    }
    return Picture(**(values | changes))
