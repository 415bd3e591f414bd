"""The course of a test where nobody names one: the usual pool of the swimmer's last tests."""

from __future__ import annotations

import datetime as dt
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Protocol

from tracker.model.units import OPEN_WATER

LAST_TESTS = 10


class Swum(Protocol):
    """What a swim tells about the usual course; `tracker.model.swim.Swim` has it."""

    @property
    def date(self) -> dt.date: ...  # noqa: D102 - named as in Swim
    @property
    def set_id(self) -> str: ...  # noqa: D102 - named as in Swim
    @property
    def course(self) -> str: ...  # noqa: D102 - named as in Swim


@dataclass(frozen=True)
class UsualCourse:
    """A course taken unasked.

    Attributes
    ----------
    course
        What is taken.
    usual
        Whether the swimmer's tests say so; else the settings do.
    last
        The course of the swimmer's last swim; empty if there is none.
    """

    course: str
    usual: bool
    last: str


def usual_course(earlier: Sequence[Swum], otherwise: str) -> UsualCourse:
    """Return the most frequent pool of the last ten tests, of equals the latest; else `otherwise`.

    Open water is none: after one swim in a lake the next test is in the pool again.

    Parameters
    ----------
    earlier
        The swimmer's swims by date.
    otherwise
        The course of the settings.
    """
    courses: dict[object, str] = {}
    for number, swim in enumerate(earlier):
        test = (swim.date, swim.set_id) if swim.set_id else number
        courses.pop(test, None)  # a test stands where its last swim does
        courses[test] = swim.course
    pools = [course for course in list(courses.values())[-LAST_TESTS:] if course != OPEN_WATER]
    last = earlier[-1].course if earlier else ""
    if not pools:
        return UsualCourse(otherwise, usual=False, last=last)
    times = Counter(pools)
    usual = max(reversed(pools), key=lambda course: times[course])
    return UsualCourse(usual, usual=True, last=last)
