"""Sentences on when to test and look again, each with why on that day."""

from __future__ import annotations

import datetime as dt
from typing import TYPE_CHECKING, Final, assert_never

from tracker.output.sentences.link import FaultNames, fault_name
from tracker.output.sentences.numbers import count, day, listed
from tracker.technique.dates_ahead import DateKind
from tracker.technique.rhythm import Rhythm, RhythmFrom

if TYPE_CHECKING:
    from tracker.technique.choices import ActiveChoice
    from tracker.technique.dates_ahead import DateAhead
    from tracker.technique.due import Away, Due

NO_TEST: Final = "Next test: none for now; what is logged on health holds it back."
UNDER_18: Final = "under 18 once in four weeks is plenty (common practice)"


def due_lines(due: Due, names: FaultNames, as_of: dt.date) -> list[str]:
    """Return what is due when, a sentence each: the test, the look, a choice to be made again."""
    lines = [next_test(due, as_of), next_look(due, as_of), choose_again(due.over, names, as_of)]
    return [line for line in lines if line]


def date_title(one: DateAhead) -> str:
    """Return what a date is in a calendar: "Test: Ines Aalto"."""
    match one.kind:
        case DateKind.TEST:
            return f"Test: {one.swimmer}"
        case DateKind.LOOK:
            return f"Look at technique: {one.swimmer}"
        case DateKind.RACE:
            return f"Race: {one.swimmer}"
        case other:
            assert_never(other)


def date_reason(one: DateAhead, as_of: dt.date) -> str:
    """Return why a date is on that day, without the day where it lies ahead; empty for a race."""
    match one.kind:
        case DateKind.TEST:
            said = next_test(one.due, as_of).removeprefix("Next test: ")
        case DateKind.LOOK:
            said = next_look(one.due, as_of).removeprefix("Next look at technique: ")
        case DateKind.RACE:
            return "" if one.ends == one.date else f"until {day(one.ends, as_of)}"
        case other:
            assert_never(other)
    return said.removeprefix(day(one.date, as_of)).lstrip(",; ").removesuffix(".")


def next_test(due: Due, as_of: dt.date) -> str:
    """Return when the next test is due and why then; that there is none for now if it is held back."""
    if due.held:
        return NO_TEST
    if due.away is not None and due.gone:
        begins = day(due.away.begins, as_of)
        return f"Next test: none for now; {_the(due.away)} since {begins} has no end on record."
    if due.test is None:
        return "Next test: as soon as you can; there is none on record."
    waits = []
    if due.race is not None:
        waits.append(f"the race on {day(due.race, as_of)}")
    if due.away is not None and due.away.ends is not None and due.away.ends < due.test:
        waits.append(_until(due.away, due.away.ends, as_of))
    if not waits:
        return f"Next test: {_when(due.test, due.test_every, as_of)}."
    clear = f"; no maximal test within {count(due.clear_days, 'day')} before a race" if due.race else ""
    return f"Next test: {day(due.test, as_of)}, after {listed(waits)}{clear}."


def next_look(due: Due, as_of: dt.date) -> str:
    """Return when the next look at technique is due and why then; empty where none is."""
    if due.review is None:
        return ""
    ends = None if due.away is None else due.away.ends
    if due.away is not None and ends is not None and due.review == ends + dt.timedelta(days=1):
        return f"Next look at technique: {day(due.review, as_of)}, after {_until(due.away, ends, as_of)}."
    if due.unseen and due.look_due(as_of):
        return "Next look at technique: due; nobody has looked yet."
    return f"Next look at technique: {_when(due.review, due.look_every, as_of)}."


def choose_again(over: ActiveChoice | None, names: FaultNames, as_of: dt.date) -> str:
    """Return the choice that ended and is to be made again; empty where none is."""
    if over is None:
        return ""
    why = f" ({over.reason.splitlines()[0]})" if over.reason else ""
    chosen = chosen_words(over.by, over.date, over.until, as_of)
    return f"Choose again: {fault_name(over.fault, over.side, names)}, {chosen}{why}."


def chosen_words(by: str, date: dt.date, until: dt.date, as_of: dt.date) -> str:
    """Return "chosen by Teo on 15 June until 7 September"."""
    return f"chosen by {by or 'the coach'} on {day(date, as_of)} until {day(until, as_of)}"


def since_when(date: dt.date, as_of: dt.date) -> str:
    """Return "due since 1 June (29 days late)", "today", or the day ahead."""
    late = (as_of - date).days
    if late > 0:
        return f"due since {day(date, as_of)} ({count(late, 'day')} late)"
    return "today" if late == 0 else day(date, as_of)


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


def _when(date: dt.date, rhythm: Rhythm, as_of: dt.date) -> str:
    sooner = ", not sooner" if rhythm.by is RhythmFrom.AGE and date > as_of else ""
    return f"{since_when(date, as_of)}{sooner}; {_why(rhythm)}"


def _why(rhythm: Rhythm) -> str:
    """Return what a rhythm goes by, with its days."""
    every = f"every {count(rhythm.days, 'day')}" if rhythm.days > 1 else "every day"
    match rhythm.by:
        case RhythmFrom.SET:
            return f"{every}, as is set for this swimmer"
        case RhythmFrom.HABIT:
            return f"{every}, as has been usual"
        case RhythmFrom.GROUP:
            return f"{every}, as is usual in the group"
        case RhythmFrom.LONGEST:
            return f"{every} at the latest; the usual gap is longer"
        case RhythmFrom.SETTINGS:
            return f"{every}, as the settings say"
        case RhythmFrom.AGE:
            return UNDER_18
        case other:
            assert_never(other)


def _until(away: Away, ends: dt.date, as_of: dt.date) -> str:
    return f"{_the(away)} that ends on {day(ends, as_of)}"


def _the(away: Away) -> str:
    """Return "the lay-off"."""
    return f"the {away.kind.about.plain.split(' ', 1)[1]}"
