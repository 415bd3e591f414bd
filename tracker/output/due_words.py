"""When to test and when to look again, in words."""

from __future__ import annotations

import datetime as dt

from tracker.faults.due import Due
from tracker.output.numbers import count, day


def next_test(date: dt.date | None, as_of: dt.date, *, held: bool = False) -> str:
    """Return when the next test is due; that there is none for now if it is held back."""
    if held:
        return "Next test: none for now."
    if date is None:
        return "Next test: as soon as you can; there is none on record."
    return f"Next test: {_when(date, as_of)}."


def next_look(date: dt.date | None, as_of: dt.date) -> str:
    """Return when the next look at technique is due; empty where none is."""
    return "" if date is None else f"Next look at technique: {_when(date, as_of)}."


def _when(date: dt.date, as_of: dt.date) -> str:
    late = (as_of - date).days
    if late > 0:
        return f"due since {day(date, as_of)} ({count(late, 'day')} late)"
    return "today" if late == 0 else f"{day(date, as_of)} or sooner"


def short_due(due: Due, as_of: dt.date) -> str:
    """Return what is due on `as_of` as one cell of a table: "test", "review", both or nothing."""
    parts = []
    if due.test_due(as_of):
        parts.append("test")
    if due.look_due(as_of):
        parts.append("review")
    return ", ".join(parts)
