"""Rank who needs attention first, and what is due.

Decided here alone: lists, `why`, `next` and the pages all read it.

Values only: reading a cached row loads nothing of what works one out.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from enum import StrEnum
from typing import TYPE_CHECKING, Final, assert_never

from tracker.engine.series.left_out import LeftOut, LeftOutReason
from tracker.engine.verdict.verdict import Verdict, Word
from tracker.model.event_kinds import EventKind
from tracker.model.vocabularies import ChoiceKind, Phase
from tracker.technique.choices import ActiveChoice, active_choice
from tracker.technique.fault_timeline import timelines
from tracker.technique.held_back import NOTHING_HELD, HeldBack, held_back
from tracker.technique.link import How, Link

if TYPE_CHECKING:
    from tracker.engine.verdict.age import AgeYardstick
    from tracker.model.event import Event
    from tracker.model.fault import FaultStep
    from tracker.model.swimmer import Choice
    from tracker.settings import Settings
    from tracker.technique.story import StoryPart


@dataclass(frozen=True)
class Due:
    """Day of the next test (None before the first) and of the next look (None if there is no need).

    Attributes
    ----------
    held_by
        What is on record that holds the swimmer back; where that holds tests back, `test` is None.
    race
        The race in whose last days no maximal test is swum, where it comes before the next test; then
        `test` is no sooner than the day after it. `clear_days` are those days.
    over
        A choice that ended and is to be made again, or dropped for another.
    """

    test: dt.date | None
    review: dt.date | None
    held_by: HeldBack = NOTHING_HELD
    race: dt.date | None = None
    clear_days: int = 0
    over: ActiveChoice | None = None

    @property
    def held(self) -> bool:
        """Whether no test may be called for at all, whenever the last was."""
        return not self.held_by.may_test

    def test_due(self, as_of: dt.date) -> bool:
        """Return whether a test is due on `as_of`; a swimmer who never tested is due."""
        return not self.held and (self.test is None or self.test <= as_of)

    @property
    def may_plan_test(self) -> bool:
        """Whether a test is spoken of at all: not while one is held back or a race comes first."""
        return not self.held and self.race is None

    def look_due(self, as_of: dt.date) -> bool:
        """Return whether a look at technique is due on `as_of`."""
        return self.review is not None and self.review <= as_of


def due(  # noqa: PLR0913 - all that moves a day
    tests: Iterable[dt.date],
    verdict: Verdict | None,
    steps: Iterable[FaultStep],
    looks: Iterable[dt.date],
    events: Iterable[Event],
    choices: Iterable[Choice] = (),
    *,
    born: int | None = None,
    note: str = "",
    as_of: dt.date,
    settings: Settings,
) -> Due:
    """Return what is due when; a day in the past is overdue.

    The next test is due `settings.test_every_days` after the last, of a child no sooner than
    `held_back.CHILD_TEST_DAYS`; none is while something on record holds tests back (`held_back`), nor in
    the last days before a race on record (`settings.clear_days`) or on its day.

    A look is due while there is a plateau or a fault in work, `settings.review_every_days` after the last
    one, or after the first day on record if nobody ever looked. It is not counted from the onset, which
    is an estimate and moves: only a look makes the next one less overdue.

    Parameters
    ----------
    tests
        Days on which tests were swum, the first and the last among them; none after `as_of`. Whether the
        time counts is no matter: it was a maximal effort all the same.
    born, note
        The swimmer's year of birth and the note about them.
    looks
        Days of reviews; a step with a reviewer is a look too.
    """
    tested, dated = list(tests), list(events)
    known = [step for step in steps if step.date <= as_of]
    held = held_back(dated, as_of, settings=settings, born=born, notes=(note,))
    between = dt.timedelta(days=held.days_between_tests(settings.test_every_days))
    planned = max(tested) + between if tested else None
    test, race = (
        (None, None) if not held.may_test else _clear_of_races(planned, dated, as_of, settings.clear_days)
    )
    looked = [day for day in looks if day <= as_of] + [step.date for step in known if step.reviewer]
    on_record = tested + [step.date for step in known]
    counted_from = max(looked) if looked else min(on_record, default=None)
    look = counted_from + dt.timedelta(days=settings.review_every_days) if counted_from else None
    faults = timelines(known, as_of)
    needed = (verdict is not None and verdict.verdict == Word.PLATEAU) or any(
        timeline.moments[-1].state.phase is Phase.IN_WORK for timeline in faults
    )
    chosen = active_choice(choices, faults, dated, as_of=as_of, settings=settings)
    return Due(
        test,
        look if needed else None,
        held,
        race,
        0 if race is None else settings.clear_days,
        None if chosen is None or chosen.rules(as_of) else chosen,
    )


def _clear_of_races(
    planned: dt.date | None, events: Sequence[Event], as_of: dt.date, clear_days: int
) -> tuple[dt.date | None, dt.date | None]:
    """Return the day of the next test, outside the last days before a race, and the race that it waits for.

    The race is named too where the day itself is free but one sooner would not be.
    """
    last = None
    day = as_of if planned is None else max(planned, as_of)
    for race in sorted((e for e in events if e.kind == EventKind.RACE), key=lambda e: e.from_date):
        ends = race.to_date or race.from_date
        if ends >= as_of and race.from_date - dt.timedelta(days=clear_days) <= day:
            last = race.from_date
            day = max(day, ends + dt.timedelta(days=1))
    return (planned, None) if last is None else (day, last)


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
    LEFT_ALONE = "left alone until a date"


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


NO_ATTENTION: Final = Attention((Ground.LEFT_ALONE,), new=False)
"""Of somebody who is left alone until a date."""


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
