"""The dates of one swimmer: the next test, the next look, the races on record. Nothing about health."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable
from dataclasses import dataclass
from enum import StrEnum
from typing import TYPE_CHECKING, assert_never

from tracker.model.event_kinds import EventKind

if TYPE_CHECKING:
    from tracker.model.base import StoredRow
    from tracker.model.event import Event
    from tracker.technique.attention import RosterLine
    from tracker.technique.due import Due


class DateKind(StrEnum):
    """What a date is for."""

    TEST = "test"
    LOOK = "look"
    RACE = "race"


@dataclass(frozen=True)
class DateAhead:
    """One date of one swimmer.

    Attributes
    ----------
    date, ends
        First and last day. What is due already stands on the day asked about.
    due
        What the test or look follows from.
    number
        The number of the event of a race; 0 for a test or look, of which there is one a swimmer.
    """

    date: dt.date
    ends: dt.date
    kind: DateKind
    swimmer: str
    group: str
    due: Due
    number: int = 0

    def due_since(self, as_of: dt.date) -> dt.date | None:
        """Return the day on which a test or look was due; None where it is not past."""
        match self.kind:
            case DateKind.TEST:
                day = self.due.test
            case DateKind.LOOK:
                day = self.due.review
            case DateKind.RACE:
                day = None
            case other:
                assert_never(other)
        return day if day is not None and day < as_of else None


def dates_ahead(line: RosterLine, events: Iterable[StoredRow[Event]], as_of: dt.date) -> list[DateAhead]:
    """Return the dates of one swimmer from `as_of` on, each as `due` has it."""
    due = line.due
    asked = []
    if due.test_due(as_of) or due.test is not None:
        asked.append((DateKind.TEST, due.test or as_of))
    if due.review is not None:
        asked.append((DateKind.LOOK, due.review))
    found = [
        DateAhead(max(day, as_of), max(day, as_of), kind, line.swimmer, line.group, due)
        for kind, day in asked
    ]
    for row in events:
        race = row.record
        ends = race.to_date or race.from_date
        if race.kind is EventKind.RACE and ends >= as_of:
            found.append(
                DateAhead(race.from_date, ends, DateKind.RACE, line.swimmer, line.group, due, row.id)
            )
    return found
