"""When the next test and the next look are due, and why then. Decided here alone.

Lists, `scan`, `why`, `next`, the pages, the calendar and the screens all read it. Values only: reading a
cached row loads nothing of what works one out.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Final

from tracker.engine.verdict.verdict import Verdict, Word
from tracker.model.event_kinds import EventKind
from tracker.model.vocabularies import Phase
from tracker.settings import DEFAULT
from tracker.technique.choices import ActiveChoice, active_choice
from tracker.technique.fault_timeline import timelines
from tracker.technique.held_back import NOTHING_HELD, HeldBack, held_back
from tracker.technique.rhythm import (
    LONGEST_LOOK,
    LONGEST_TEST,
    NO_HABITS,
    Habits,
    Rhythm,
    RhythmFrom,
    habit,
    rhythm,
)

if TYPE_CHECKING:
    from tracker.model.event import Event
    from tracker.model.fault import FaultStep
    from tracker.model.review import ReviewItem
    from tracker.model.swimmer import Choice, Swimmer
    from tracker.settings import Settings


USUAL_TEST: Final = Rhythm(DEFAULT.test_every_days)
USUAL_LOOK: Final = Rhythm(DEFAULT.review_every_days)


@dataclass(frozen=True)
class Away:
    """A span of days on which the swimmer is not there; `ends` is None where no end is on record."""

    kind: EventKind
    begins: dt.date
    ends: dt.date | None


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
    unseen
        Whether nobody ever looked, where a look is needed.
    over
        A choice that ended and is to be made again, or dropped for another.
    away
        What the swimmer is away for, where the test or the look waits for it. Without an end neither is
        asked for.
    test_every, look_every
        The rhythm that the days follow.
    """

    test: dt.date | None
    review: dt.date | None
    held_by: HeldBack = NOTHING_HELD
    race: dt.date | None = None
    clear_days: int = 0
    over: ActiveChoice | None = None
    away: Away | None = None
    test_every: Rhythm = USUAL_TEST
    look_every: Rhythm = USUAL_LOOK
    unseen: bool = False

    @property
    def held(self) -> bool:
        """Whether no test may be called for at all, whenever the last was."""
        return not self.held_by.may_test

    @property
    def gone(self) -> bool:
        """Whether the swimmer is away, and nobody wrote down until when."""
        return self.away is not None and self.away.ends is None

    def test_due(self, as_of: dt.date) -> bool:
        """Return whether a test is due on `as_of`; a swimmer who never tested is due."""
        return not self.held and not self.gone and (self.test is None or self.test <= as_of)

    @property
    def may_plan_test(self) -> bool:
        """Whether a test is spoken of: not while one is held back, nor before a race or days away."""
        return not self.held and self.race is None and self.away is None

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
    who: Swimmer | None = None,
    group: Habits = NO_HABITS,
    items: Sequence[ReviewItem] = (),
    course: str = "",
    as_of: dt.date,
    settings: Settings,
) -> Due:
    """Return what is due when; a day in the past is overdue.

    The next test is due one rhythm after the last (`rhythm.rhythm`), of a child no sooner than
    `held_back.CHILD_TEST_DAYS`; none is while something on record holds tests back (`held_back`), nor while
    the swimmer is away, nor in the last days before a race on record (`settings.clear_days`) or on its day.

    A look is due while there is a plateau or a fault in work, one rhythm after the last one, or after the
    first day on record if nobody ever looked; not while the swimmer is away. It is not counted from the
    onset, which is an estimate and moves: only a look makes the next one less overdue.

    Parameters
    ----------
    tests
        Days on which tests were swum: the first, and all of the last year; none after `as_of`. Whether the
        time counts is no matter: it was a maximal effort all the same.
    looks
        Days of reviews; a step with a reviewer is a look too.
    who
        The swimmer; None for one of whom nothing is known.
    group
        The habits of the swimmer's group.
    items
        What was noted in the looks: it says which look of a day was the more careful.
    course
        That of the last swim; the usual one where there is none.
    """
    tested, dated = list(tests), list(events)
    known = [step for step in steps if step.date <= as_of]
    looked = [day for day in looks if day <= as_of] + [step.date for step in known if step.reviewer]
    held = held_back(
        dated,
        as_of,
        settings=settings,
        born=who.born if who else None,
        course=course,
        notes=(who.note,) if who else (),
    )
    wanted = (who.test_every, who.look_every) if who else (None, None)
    test_every = rhythm(
        wanted[0], habit(tested), group.test, usual=settings.test_every_days, longest=LONGEST_TEST
    )
    if held.days_between_tests(test_every.days) > test_every.days:
        test_every = Rhythm(held.days_between_tests(test_every.days), RhythmFrom.AGE)
    look_every = rhythm(
        wanted[1], habit(looked), group.look, usual=settings.review_every_days, longest=LONGEST_LOOK
    )
    found = Due(None, None, held, test_every=test_every, look_every=look_every)
    away = _away(dated, tested)
    if held.may_test:
        found = _with_test(found, tested, dated, away, as_of, settings.clear_days)
    faults = timelines(known, as_of, items)
    needed = (verdict is not None and verdict.verdict == Word.PLATEAU) or any(
        timeline.moments[-1].state.phase is Phase.IN_WORK for timeline in faults
    )
    counted_from = max(looked) if looked else min([*tested, *(step.date for step in known)], default=None)
    if needed and counted_from is not None:
        found = _with_look(replace(found, unseen=not looked), counted_from, away, as_of)
    chosen = active_choice(choices, faults, dated, as_of=as_of, settings=settings)
    return replace(found, over=None if chosen is None or chosen.rules(as_of) else chosen)


def _with_test(
    found: Due,
    tested: Sequence[dt.date],
    events: Sequence[Event],
    away: Sequence[Away],
    as_of: dt.date,
    clear_days: int,
) -> Due:
    """Add the day of the next test: outside the last days before a race, and of those away.

    The race is named too where the day itself is free but one sooner would not be.
    """
    planned = max(tested) + dt.timedelta(days=found.test_every.days) if tested else None
    begins = as_of if planned is None else max(planned, as_of)
    day, race, gone = begins, None, None
    races = sorted((e for e in events if e.kind == EventKind.RACE), key=lambda e: e.from_date)
    while True:
        before = day
        for one in races:
            ends = one.to_date or one.from_date
            if ends >= as_of and one.from_date - dt.timedelta(days=clear_days) <= day:
                race = one.from_date
                day = max(day, ends + dt.timedelta(days=1))
        back, left = _back_from(away, day)
        gone = left or gone
        if back is None:
            return replace(found, away=gone)
        day = back
        if day == before:
            break
    moved = race is not None or gone is not None
    days = 0 if race is None else clear_days
    return replace(found, test=day if moved else planned, race=race, clear_days=days, away=gone)


def _with_look(found: Due, counted_from: dt.date, away: Sequence[Away], as_of: dt.date) -> Due:
    """Add the day of the next look, no day on which the swimmer is away."""
    planned = counted_from + dt.timedelta(days=found.look_every.days)
    back, left = _back_from(away, max(planned, as_of))
    return replace(found, review=planned if left is None else back, away=found.away or left)


def _away(events: Iterable[Event], tested: Sequence[dt.date]) -> list[Away]:
    """Return the spans away in order; one without an end is over once the swimmer tested after it began."""
    last = max(tested, default=dt.date.min)
    return sorted(
        (
            Away(event.kind, event.from_date, event.to_date)
            for event in events
            if event.kind.about.away and (event.to_date is not None or last <= event.from_date)
        ),
        key=lambda one: one.begins,
    )


def _back_from(away: Sequence[Away], day: dt.date) -> tuple[dt.date | None, Away | None]:
    """Return the first day from `day` on that no span covers, and the last span that it waits for.

    The day is None where a span has no end.
    """
    waits = None
    for span in away:
        if span.begins <= day and (span.ends is None or span.ends >= day):
            waits = span
            if span.ends is None:
                return None, span
            day = span.ends + dt.timedelta(days=1)
    return day, waits
