"""What was told of a swimmer beside what is said now: in which way the two differ.

What was told stays as it is; only the comparison is worked out again.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum
from typing import TYPE_CHECKING

from tracker.engine.verdict.verdict import Verdict, Word
from tracker.model.fault import FaultStep
from tracker.model.told import Told
from tracker.model.vocabularies import ToldBy
from tracker.technique.link import Link

if TYPE_CHECKING:
    from tracker.technique.attention import RosterLine


class Difference(StrEnum):
    """How the present word differs from one that was told, worst first."""

    REVISED = "revised"
    """Another word, and it holds for the time that was told of."""
    MOVED_ON = "moved on"
    """Another word, and it began after what was told, or about then."""
    NEW = "new"
    """A word where none was told; or what a slowing that was told led to."""
    GIVEN_UP = "given up"
    """No word where one was told."""
    REDATED = "redated"
    """The same word with an onset that the told one lies outside of."""
    RELINKED = "relinked"
    """The same word with another fault beside its onset."""


def word_told(told: Told) -> Word:
    """Return the word of what was told."""
    return Word(told.verdict)


def told_of(line: RosterLine, date: dt.date, where: ToldBy, who: str) -> Told | None:
    """Return what a line tells on `date`; None without a test, where there is nothing to tell."""
    verdict = line.verdict
    if verdict is None:
        return None
    return Told(
        date=date,
        swimmer=line.swimmer,
        verdict=verdict.verdict.value,
        p=None if verdict.p is None else round(verdict.p, 4),
        since=verdict.since if verdict.verdict.tells else None,
        link=link_told(line.link),
        where=where,
        who=who,
    )


def link_told(link: Link | None) -> str:
    """Return the fault of a link as it is typed, "breath-late:left"; empty without one."""
    if link is None or link.fault is None:
        return ""
    return f"{link.fault}:{link.side}" if link.side else link.fault


def difference(told: Told | None, verdict: Verdict | None, link: Link | None) -> Difference | None:
    """Return how a verdict differs from what was told last; None where it does not.

    Parameters
    ----------
    told
        None where nothing was told yet.

    Notes
    -----
    Another word revises what was told only where even the latest day on which it may have begun (90 %) lies
    before the day told of. Else the swimmer moved on, or nobody can tell.
    """
    if verdict is None:
        return Difference.GIVEN_UP if told is not None and word_told(told).tells else None
    now = verdict.verdict
    if told is None or not word_told(told).tells:
        return Difference.NEW if now.tells else None
    if not now.tells:
        return Difference.GIVEN_UP
    if now is not word_told(told):
        if contradicts(told, verdict):
            return Difference.REVISED
        return Difference.NEW if _plainer(told, verdict) else Difference.MOVED_ON
    if _outside(told.since, verdict):
        return Difference.REDATED
    return Difference.RELINKED if told.link != link_told(link) else None


def contradicts(told: Told, verdict: Verdict) -> bool:
    """Return whether a verdict says of the day told of that the word was another.

    That is so where its own word, another, had surely begun; where a plateau was told and the day lies in no
    flat stretch; and where another word was told and the day lies within one.
    """
    said = word_told(told)
    if not said.tells or verdict.lacks:
        return False
    if verdict.verdict.tells and verdict.since_high <= told.date:
        return verdict.verdict is not said and not _plainer(told, verdict)
    if said is Word.PLATEAU:
        return not any(
            (one.start_low or one.start) <= told.date <= one.end_high for one in verdict.flat_stretches
        )
    return any(one.start_high <= told.date <= one.end_low for one in verdict.flat_stretches)


def _plainer(told: Told, verdict: Verdict) -> bool:
    """Return whether it is known now to what a swimmer had slowed when that was told."""
    slowed_to = verdict.verdict in {Word.PLATEAU, Word.SLIPPING}
    return word_told(told) is Word.SLOWED and slowed_to and verdict.since <= told.date


def _outside(since: dt.date | None, verdict: Verdict) -> bool:
    """Return whether an onset that was told lies outside the interval that the onset has now."""
    if since is None or verdict.before_record:
        return False
    return since > verdict.since_high or (verdict.since_low is not None and since < verdict.since_low)


class TestChangeKind(StrEnum):
    """What became of a test of before, since something was told."""

    __test__ = False

    ADDED_LATE = "added late"
    """It was swum by then and entered later."""
    CORRECTED = "corrected"
    DELETED = "deleted"


@dataclass(frozen=True)
class TestChange:
    """A test of before that is not on record as it was when something was told; times in seconds."""

    __test__ = False

    kind: TestChangeKind
    date: dt.date
    distance_m: float
    was_s: float | None
    now_s: float | None


@dataclass(frozen=True)
class WordChange:
    """A swimmer's present line beside what was told last, to one person or several.

    Attributes
    ----------
    told
        What was told, the same word to all; empty where nothing was.
    tests
        The tests up to the day told of that are not on record as they were then, in order of day.
    new_days
        Days after it with a test.
    """

    line: RosterLine
    difference: Difference
    told: tuple[Told, ...]
    tests: tuple[TestChange, ...]
    new_days: tuple[dt.date, ...]


@dataclass(frozen=True)
class FaultChanges:
    """The steps by which faults of a swimmer were opened, corrected or back since, in order of day."""

    swimmer: str
    steps: tuple[FaultStep, ...]


@dataclass(frozen=True)
class FellDue:
    """What fell due since: the day of the test and of the look, None where that did not."""

    swimmer: str
    test: dt.date | None
    look: dt.date | None


@dataclass(frozen=True)
class NewTests:
    """Days with a test since, where the word stands as it was told."""

    line: RosterLine
    days: tuple[dt.date, ...]
    since: dt.date


@dataclass(frozen=True)
class Changes:
    """All that differs from what was told, in each list those most in need first.

    Attributes
    ----------
    since
        The day by which it was told; None where each swimmer's last word is meant.
    anything_told
        Whether anything was told at all.
    ahead
        What was told of days that are still to come: a clock went back.
    """

    as_of: dt.date
    since: dt.date | None
    anything_told: bool
    words: Sequence[WordChange]
    faults: Sequence[FaultChanges]
    due: Sequence[FellDue]
    tests: Sequence[NewTests]
    ahead: Sequence[Told]
