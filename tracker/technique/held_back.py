"""What on record holds a swimmer back on one day: from maximal tests, hard sets, or loads on a part hurt.

Decided here alone. `attention.due` hands it on with what is due, so `next`, `why`, lists, pages and screens
hold back the same. Nothing here diagnoses; a race is looked at by `attention.due`, which moves the test.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Final, assert_never

from tracker.model.age import may_be_minor, may_be_young
from tracker.model.event_kinds import Ailment, EventKind
from tracker.model.practices import Caution
from tracker.model.units import OPEN_WATER
from tracker.model.vocabularies import BodyPart
from tracker.technique.practices import calls_for, loads, parts_in

if TYPE_CHECKING:
    from tracker.model.event import Event
    from tracker.model.swim_test import SwimTest
    from tracker.settings import Settings

RETURN_DAYS: Final = 14
"""Days after a logged illness in which a maximal test is held back (assumption; licensed care decides)."""
PREGNANT_DAYS: Final = 300
"""So long an event that names a pregnancy holds tests back where no end is given (assumption)."""
CHILD_TEST_DAYS: Final = 28
"""Under 18 no maximal test is asked for sooner after the last one: common practice, no source (no published
limit was found)."""
YOUNG_LONGEST_M: Final = 400
"""Under 14 no longer maximal test is asked for: common practice, no source."""
WITHOUT_AIR: Final = (Caution.BREATH, Caution.UNDERWATER)
ARMS: Final = (Caution.SHOULDER, Caution.PADDLES)


@dataclass(frozen=True)
class HeldBack:
    """What holds a swimmer back on one day.

    Attributes
    ----------
    injuries
        The parts of the body that are hurt; `BodyPart.UNKNOWN` where nobody said which.
    ill
        Whether an illness lasts, or is over for less than `RETURN_DAYS`.
    pregnant
        Whether a pregnancy is written down.
    child
        Whether the swimmer may be under 18.
    young
        Whether the swimmer may be under 14.
    open_water
        Whether the last test, the usual course or a coming race is open water.
    """

    injuries: frozenset[BodyPart] = frozenset()
    ill: bool = False
    pregnant: bool = False
    child: bool = False
    young: bool = False
    open_water: bool = False

    @property
    def injured(self) -> bool:
        """Whether an injury lasts."""
        return bool(self.injuries)

    @property
    def may_test(self) -> bool:
        """Whether a maximal test may be proposed."""
        return not (self.injured or self.ill or self.pregnant)

    @property
    def may_swim_sets(self) -> bool:
        """Whether hard sets at the paces and rests of adults may be proposed."""
        return self.may_test and not self.child

    @property
    def arms_rest(self) -> bool:
        """Whether loads on the arms are left out: unless it is known that only a leg is hurt."""
        return any(not part.leg for part in self.injuries)

    def may_do(self, drill: str) -> bool:
        """Return whether a cue or drill may be proposed: none that loads what is hurt, or may be."""
        barred = [*(ARMS if self.arms_rest else ()), *([Caution.NECK] if self.neck_rests else ())]
        return not any(loads(drill, code) for code in barred)

    @property
    def neck_rests(self) -> bool:
        """Whether the neck is hurt, or may be."""
        return bool(self.injuries & {BodyPart.NECK, BodyPart.UNKNOWN})

    def may_swim(self, test: SwimTest) -> bool:
        """Return whether a test is short enough for the swimmer's age."""
        longest = max(map(int, test.distances.split()), default=0)
        return not self.young or (test.duration_s is None and longest <= YOUNG_LONGEST_M)

    def days_between_tests(self, usual: int) -> int:
        """Return the fewest days between two maximal tests."""
        return max(usual, CHILD_TEST_DAYS) if self.child else usual


NOTHING_HELD: Final = HeldBack()


def held_back(
    events: Sequence[Event],
    day: dt.date,
    *,
    settings: Settings,
    born: int | None = None,
    course: str = "",
    notes: Sequence[str] = (),
) -> HeldBack:
    """Return what is on record for `day`; an event without an end still lasts.

    Injury and illness are looked at only where health events are switched on; a pregnancy wherever
    somebody wrote it into a note that everybody can read.

    Parameters
    ----------
    course
        That of the last swim; the usual one where there is none.
    notes
        What else is written about the swimmer.
    """
    injuries: set[BodyPart] = set()
    ill = False
    pregnant = any(calls_for(Caution.PREGNANCY, note) for note in notes)
    for event in events:
        ailment = event.kind.about.health
        if event.from_date > day or (ailment and not settings.health):
            continue
        match ailment:
            case None:
                pass
            case Ailment.HURT:
                if _lasts(event, day):
                    injuries |= hurt_parts(event.body_part, event.note)
            case Ailment.ILL:
                ill = ill or _lasts(event, day, after=RETURN_DAYS)
            case other:
                assert_never(other)
        if not pregnant and event.note and calls_for(Caution.PREGNANCY, event.note):
            expected = event.from_date + dt.timedelta(days=PREGNANT_DAYS)
            pregnant = (event.to_date or expected) >= day
    open_water = course == OPEN_WATER or any(_races_in_open_water(event, day) for event in events)
    young = may_be_young(born, day)
    return HeldBack(frozenset(injuries), ill, pregnant, may_be_minor(born, day), young, open_water)


def lacks_air(text: str) -> bool:
    """Return whether a cue or drill asks for held breath or a swim under water."""
    return any(calls_for(code, text) for code in WITHOUT_AIR)


def hurt_parts(part: BodyPart, note: str) -> frozenset[BodyPart]:
    """Return what is hurt by the field and by the words of the note; unknown where neither says it."""
    named = parts_in(note) | ({part} if part else set())
    return named or frozenset({BodyPart.UNKNOWN})


def _races_in_open_water(event: Event, day: dt.date) -> bool:
    coming = event.kind is EventKind.RACE and (event.to_date or event.from_date) >= day
    return coming and calls_for(Caution.OPEN_WATER, event.note)


def _lasts(event: Event, day: dt.date, *, after: int = 0) -> bool:
    return event.to_date is None or event.to_date + dt.timedelta(days=after) >= day
