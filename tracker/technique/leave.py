"""Who is left alone until a date, and which test or look is put off to one.

A choice of the kind `leave` holds it: its value is the date ("2026-07-10"), or what is put off and the date
("test 2026-07-10"). The last word of a person counts; one whose date has come is over.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable
from dataclasses import dataclass, replace
from enum import StrEnum
from typing import TYPE_CHECKING

from tracker.model.vocabularies import ChoiceKind

if TYPE_CHECKING:
    from tracker.model.swimmer import Choice
    from tracker.technique.due import Due


class Left(StrEnum):
    """What is left until a date."""

    ALL = ""
    """The swimmer: nothing is asked for."""
    TEST = "test"
    LOOK = "look"


@dataclass(frozen=True)
class Leave:
    """One swimmer left alone, or one thing put off.

    Attributes
    ----------
    until
        The day it is over; from then on it is asked for again.
    since
        The day it was decided, by `by`.
    """

    swimmer: str
    what: Left
    until: dt.date
    reason: str
    by: str
    since: dt.date


def leave_value(what: Left, until: dt.date) -> str:
    """Return the value of a choice that leaves something until a day."""
    return f"{what} {until.isoformat()}".strip()


def leaves(choices: Iterable[Choice], as_of: dt.date) -> dict[Left, Leave]:
    """Return what of one swimmer is left on `as_of`; the last word on each counts."""
    last: dict[Left, Leave] = {}
    for choice in sorted((c for c in choices if c.kind == ChoiceKind.LEAVE), key=lambda c: c.date):
        found = _read(choice)
        if found is not None and choice.date <= as_of:
            last[found.what] = found
    return {what: one for what, one in last.items() if one.until > as_of}


def _read(choice: Choice) -> Leave | None:
    """Return what a choice says; None where its value, from a file, is none of ours."""
    what, _, day = choice.value.rpartition(" ")
    try:
        return Leave(
            choice.swimmer, Left(what), dt.date.fromisoformat(day), choice.reason, choice.by, choice.date
        )
    except ValueError:
        return None


def put_off(due: Due, left: dict[Left, Leave]) -> Due:
    """Return the same with what is left moved to its date; what is due later than that stays."""
    test, review = due.test, due.review
    for one in left.values():
        if one.what is not Left.LOOK and not due.held and (test is None or test < one.until):
            test = one.until
        if one.what is not Left.TEST and review is not None and review < one.until:
            review = one.until
    return replace(due, test=test, review=review)
