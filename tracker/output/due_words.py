"""When to test, look and choose again, in words."""

from __future__ import annotations

import datetime as dt
from typing import Final

from tracker.faults.choosing import Chosen
from tracker.faults.due import Due
from tracker.output.link_words import FaultNames, fault_name
from tracker.output.numbers import count, day

NO_TEST: Final = "Next test: none for now; what is logged on health holds it back."


def due_lines(due: Due, names: FaultNames, as_of: dt.date) -> list[str]:
    """Return what is due when, a sentence each: the test, the look, a choice to be made again."""
    lines = [next_test(due, as_of), next_look(due.review, as_of), choose_again(due.over, names, as_of)]
    return [line for line in lines if line]


def next_test(due: Due, as_of: dt.date) -> str:
    """Return when the next test is due; that there is none for now if it is held back."""
    if due.held:
        return NO_TEST
    if due.test is None:
        return "Next test: as soon as you can; there is none on record."
    if due.race is None:
        return f"Next test: {_when(due.test, as_of)}."
    clear = f"no maximal test within {count(due.clear_days, 'day')} before the race of {day(due.race, as_of)}"
    return f"Next test: {day(due.test, as_of)}; {clear}."


def next_look(date: dt.date | None, as_of: dt.date) -> str:
    """Return when the next look at technique is due; empty where none is."""
    return "" if date is None else f"Next look at technique: {_when(date, as_of)}."


def choose_again(over: Chosen | None, names: FaultNames, as_of: dt.date) -> str:
    """Return the choice that ended and is to be made again; empty where none is."""
    if over is None:
        return ""
    why = f" ({over.why.splitlines()[0]})" if over.why else ""
    chosen = chosen_words(over.by, over.date, over.until, as_of)
    return f"Choose again: {fault_name(over.fault, over.side, names)}, {chosen}{why}."


def chosen_words(by: str, date: dt.date, until: dt.date, as_of: dt.date) -> str:
    """Return "chosen by Teo on 15 June until 7 September"."""
    return f"chosen by {by or 'the coach'} on {day(date, as_of)} until {day(until, as_of)}"


def _when(date: dt.date, as_of: dt.date) -> str:
    late = (as_of - date).days
    if late > 0:
        return f"due since {day(date, as_of)} ({count(late, 'day')} late)"
    return "today" if late == 0 else f"{day(date, as_of)} or sooner"


def short_due(due: Due, as_of: dt.date) -> str:
    """Return what is due on `as_of` as one cell of a table: "test", "review", "choice", or nothing."""
    parts = []
    if due.test_due(as_of):
        parts.append("test")
    if due.look_due(as_of):
        parts.append("review")
    if due.over is not None:
        parts.append("choice")
    return ", ".join(parts)
