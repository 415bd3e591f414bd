"""Rank who needs attention first.

Decided here alone: lists, `why`, `next` and the pages all read it.

Values only: reading a cached row loads nothing of what works one out.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum
from typing import TYPE_CHECKING, Final, assert_never

from tracker.engine.series.left_out import LeftOut, LeftOutReason
from tracker.engine.verdict.verdict import Verdict, Word
from tracker.model.vocabularies import ChoiceKind, Phase
from tracker.technique.due import Due
from tracker.technique.link import How, Link

if TYPE_CHECKING:
    from tracker.engine.verdict.age import AgeYardstick
    from tracker.model.swimmer import Choice
    from tracker.technique.story import StoryPart


class Ground(StrEnum):
    """Why a swimmer needs a look, by what waiting costs: most pressing first.

    A slip that is held grows with each week; a plateau with a fault that nobody works on goes on as long as
    nobody does. A fault that came back was in reach once.
    """

    SLIPPING = "slipping"
    PLATEAU_OPEN_FAULT = "plateau with an open fault"
    FAULT_BACK = "fault came back"
    PLATEAU_UNREVIEWED = "plateau without a review"
    PLATEAU_IN_WORK = "plateau in work"
    SLOWED = "slowed"
    TEST_DUE = "test due"
    LOOK_DUE = "look due"
    UNDECIDED = "undecided"
    TOO_EARLY = "too early"
    GAINING = "gaining"


GROUNDS: Final = tuple(Ground)
_ONCE_SEEN: Final = GROUNDS.index(Ground.FAULT_BACK)
"""The place of what presses more as soon as somebody has seen it: behind those who have a fault back."""


@dataclass(frozen=True)
class Attention:
    """How much a swimmer needs a look.

    Attributes
    ----------
    grounds
        All that apply, most pressing first; never empty.
    new
        Whether nobody has marked this verdict as seen since it began.
    seen
        Whether somebody has: then the verdict's own ground presses no more than a fault that came back.
    rank
        Smaller is more pressing; the new come before those already seen.
    """

    grounds: tuple[Ground, ...]
    new: bool
    seen: bool = False

    @property
    def rank(self) -> tuple[int, int]:
        """Sort key: the most pressing ground, then new before seen."""
        place = GROUNDS.index(self.grounds[0])
        if self.seen and place < _ONCE_SEEN:
            return _ONCE_SEEN, 2
        return place, int(not self.new)


def attention(
    verdict: Verdict | None,
    link: Link | None,
    next_due: Due,
    choices: Sequence[Choice],
    *,
    as_of: dt.date,
    returned: bool = False,
) -> Attention:
    """Return why and how much a swimmer needs a look; `returned` where a fault came back and waits."""
    grounds: list[Ground] = [Ground.FAULT_BACK] if returned else []
    grounds.append(_ground_of(Word.TOO_EARLY if verdict is None else verdict.verdict, link))
    if next_due.test_due(as_of):
        grounds.append(Ground.TEST_DUE)
    if next_due.look_due(as_of):
        grounds.append(Ground.LOOK_DUE)
    new = _is_new(verdict, choices, as_of)
    calls = verdict is not None and verdict.verdict.calls_for_a_look
    return Attention(tuple(sorted(grounds, key=GROUNDS.index)), new=new, seen=calls and not new)


def _ground_of(word: Word, link: Link | None) -> Ground:
    match word:
        case Word.PLATEAU:
            return _plateau(link)
        case Word.SLIPPING:
            return Ground.SLIPPING
        case Word.SLOWED:
            return Ground.SLOWED
        case Word.UNDECIDED:
            return Ground.UNDECIDED
        case Word.TOO_EARLY:
            return Ground.TOO_EARLY
        case Word.GAINING:
            return Ground.GAINING
        case other:
            assert_never(other)


def _plateau(link: Link | None) -> Ground:
    if link is None or link.how == How.NONE:
        return Ground.PLATEAU_UNREVIEWED
    waiting = link.state_now is not None and link.state_now.phase is Phase.WAITING
    return Ground.PLATEAU_OPEN_FAULT if waiting else Ground.PLATEAU_IN_WORK


def _is_new(verdict: Verdict | None, choices: Sequence[Choice], as_of: dt.date) -> bool:
    """Return whether nobody, from the day it began to `as_of`, marked a verdict that calls for a look."""
    if verdict is None or not verdict.verdict.calls_for_a_look:
        return False
    seen = [
        choice for choice in choices if choice.kind == ChoiceKind.SEEN and choice.value == verdict.verdict
    ]
    return not any(verdict.since <= choice.date <= as_of for choice in seen)


@dataclass(frozen=True)
class RosterLine:
    """One swimmer of a roster; `verdict` is None without a usable test.

    `age` is what age alone does beside what the swimmer does; `stretch_links` are parallel to
    `verdict.flat_stretches`, `story` to `verdict.story`: empty unless detail was asked for.
    """

    swimmer: str
    group: str
    age: AgeYardstick | None
    verdict: Verdict | None
    link: Link | None
    stretch_links: tuple[Link, ...]
    due: Due
    attention: Attention
    left_out: tuple[LeftOut, ...] = ()
    story: tuple[StoryPart, ...] = ()

    @property
    def new(self) -> bool:
        """Whether nobody has marked this verdict as seen."""
        return self.attention.new

    @property
    def always_easy(self) -> bool:
        """Whether there is no test because the swims were all too easy to be one."""
        return self.verdict is None and any(one.reason == LeftOutReason.EASY for one in self.left_out)

    @property
    def word(self) -> Word | None:
        """The verdict's word; None without a swim that is or could have been a test."""
        if self.verdict is not None:
            return self.verdict.verdict
        return Word.TOO_EARLY if self.always_easy else None


def need(line: RosterLine) -> tuple[tuple[int, int], str]:
    """Sort key: most in need of a look first, then by label."""
    return line.attention.rank, line.swimmer
