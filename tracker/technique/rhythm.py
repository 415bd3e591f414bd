"""How often a swimmer is tested and looked at: as somebody wants it, else by habit.

A habit is the median gap of the last days. Nobody is asked sooner than the settings say only because they
came more often for a while; somebody who wants that says so in the swimmer's record.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable
from dataclasses import dataclass
from enum import StrEnum
from itertools import pairwise
from statistics import median_low
from typing import Final

HABIT_GAPS: Final = 8
"""A habit goes by so many gaps at most, the last ones (assumption)."""
LEAST_GAPS: Final = 3
"""Fewer gaps are no habit (assumption)."""
HABIT_DAYS: Final = 365
"""A habit goes by the days of the last year before the last one (assumption)."""
LEAST_MEMBERS: Final = 2
"""The habit of one is not that of a group."""
LONGEST_TEST: Final = 91
"""Whoever tests less than once in a quarter has no rhythm that should be kept (assumption)."""
LONGEST_LOOK: Final = 56
"""While there is a plateau or a fault in work nobody goes without a look for longer, whatever has been usual
(assumption: twice the days of the settings)."""


class RhythmFrom(StrEnum):
    """What a rhythm goes by."""

    SET = "set"
    """The swimmer's record says it."""
    HABIT = "habit"
    """The swimmer's own last gaps."""
    GROUP = "group"
    """The median of the group's habits."""
    LONGEST = "longest"
    """The habit would be longer than a habit may be."""
    SETTINGS = "settings"
    AGE = "age"
    """Under 18 there is a least gap between maximal tests."""


@dataclass(frozen=True)
class Rhythm:
    """Days from one to the next, and what that goes by."""

    days: int
    by: RhythmFrom = RhythmFrom.SETTINGS


@dataclass(frozen=True)
class Habits:
    """Usual days between two tests and between two looks; None where there is no habit."""

    test: int | None = None
    look: int | None = None


NO_HABITS: Final = Habits()


def habit(days: Iterable[dt.date]) -> int | None:
    """Return the median of the last gaps between some days; None where they are too few.

    It rests on the days alone, not on the day it is asked for: only another test or look changes it.
    """
    known = sorted(set(days))[-HABIT_GAPS - 1 :]
    gaps = [
        (after - before).days for before, after in pairwise(known) if (known[-1] - before).days <= HABIT_DAYS
    ]
    return median_low(gaps) if len(gaps) >= LEAST_GAPS else None


def group_habit(habits: Iterable[int | None]) -> int | None:
    """Return the median of the habits of a group; None where too few have one."""
    known = [one for one in habits if one is not None]
    return median_low(known) if len(known) >= LEAST_MEMBERS else None


def rhythm(wanted: int | None, own: int | None, group: int | None, *, usual: int, longest: int) -> Rhythm:
    """Return the rhythm that holds: as wanted, else the swimmer's habit, else the group's, else as usual.

    Parameters
    ----------
    usual
        The days of the settings. No habit asks for more than that.
    longest
        No habit asks for less than that.
    """
    if wanted is not None:
        return Rhythm(wanted, RhythmFrom.SET)
    for found, by in ((own, RhythmFrom.HABIT), (group, RhythmFrom.GROUP)):
        if found is not None:
            if found > max(longest, usual):
                return Rhythm(max(longest, usual), RhythmFrom.LONGEST)
            return Rhythm(found, by) if found >= usual else Rhythm(usual)
    return Rhythm(usual)
