"""The timeline of a fault in a swimmer: its steps, spells, and the changes that were made.

Steps are read in order of date, those of one day in the order given, but where several reviewers looked
that day (`disputes`); a day's state is the one at its end. Hearsay (a step without a reviewer) is believed
but marked: "corrected" by hearsay is "said to be corrected" until a reviewer's step says so too.
"""

from __future__ import annotations

import datetime as dt
from bisect import bisect_right
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from enum import StrEnum
from itertools import groupby
from typing import TYPE_CHECKING, Final, assert_never

from tracker.model.vocabularies import Phase, State, Step, WorkKind
from tracker.technique.disputes import Dispute, settle_day

if TYPE_CHECKING:
    from tracker.model.fault import FaultStep
    from tracker.model.review import ReviewItem
    from tracker.model.work import Work


CLOSED: Final = frozenset(state for state in State if state.phase is Phase.CLOSED)


@dataclass(frozen=True)
class Moment:
    """The state from the end of `day` on, until the next moment.

    Attributes
    ----------
    severity
        The last severity noted up to that day; None if none ever was.
    hearsay
        Whether the step that led here had no reviewer.
    note
        The note of that step: for "parked" the reason.
    """

    day: dt.date
    state: State
    severity: int | None
    hearsay: bool
    note: str


@dataclass(frozen=True)
class Sighting:
    """A day on which the fault was opened, seen again or seen to be back."""

    day: dt.date
    severity: int | None
    reviewer: str


@dataclass(frozen=True)
class FaultTimeline:
    """Everything known of one fault on one side, in order of days.

    Attributes
    ----------
    openings
        Days on which it was opened or came back.
    parkings
        Days on which it was parked, or parked again.
    disputes
        Days on which two reviewers said different things of it.
    """

    fault: str
    side: str
    moments: tuple[Moment, ...]
    openings: tuple[dt.date, ...]
    parkings: tuple[dt.date, ...]
    sightings: tuple[Sighting, ...]
    disputes: tuple[Dispute, ...] = ()

    def on(self, day: dt.date) -> Moment | None:
        """Return the moment that holds at the end of `day`; None before the first step."""
        place = bisect_right(self.moments, day, key=lambda moment: moment.day)
        return self.moments[place - 1] if place else None

    def opened_by(self, day: dt.date) -> dt.date | None:
        """Return the latest opening on or before `day`."""
        place = bisect_right(self.openings, day)
        return self.openings[place - 1] if place else None

    def began(self, day: dt.date) -> dt.date | None:
        """Return the first day of the spell that holds at the end of `day`; None before the first step."""
        place = bisect_right(self.moments, day, key=lambda moment: moment.day) - 1
        while place > 0 and self.moments[place - 1].state == self.moments[place].state:
            place -= 1
        return self.moments[place].day if place >= 0 else None


@dataclass(frozen=True)
class Spell:
    """An unbroken span in one state. `ends` is the day the next state begins; None while it lasts."""

    fault: str
    side: str
    state: State
    begins: dt.date
    ends: dt.date | None
    severity: int | None
    hearsay: bool
    note: str = ""


def timelines(
    steps: Iterable[FaultStep], until: dt.date, looks: Sequence[ReviewItem] = ()
) -> tuple[FaultTimeline, ...]:
    """Return the timelines of all faults of one swimmer, in order of their first step.

    Parameters
    ----------
    steps
        The swimmer's steps in any order of date.
    until
        Later steps are not looked at.
    looks
        The items of the swimmer's reviews: they say which look of a day was the more careful.
    """
    grouped: dict[tuple[str, str], list[FaultStep]] = {}
    for step in sorted(steps, key=lambda step: step.date):
        if step.date <= until:
            grouped.setdefault((step.fault, step.side), []).append(step)
    return tuple(_timeline(fault, side, own, looks) for (fault, side), own in grouped.items())


def spells(steps: Iterable[FaultStep], until: dt.date, looks: Sequence[ReviewItem] = ()) -> tuple[Spell, ...]:
    """Return the spells of all faults of one swimmer up to `until`, fault by fault."""
    return tuple(spell for timeline in timelines(steps, until, looks) for spell in spells_of(timeline))


def spells_of(timeline: FaultTimeline) -> tuple[Spell, ...]:
    """Return the spells of one fault: moments of the same state in a row are one spell."""
    found: list[Spell] = []
    for moment in timeline.moments:
        if found and found[-1].state == moment.state:
            last = found.pop()
            begins, hearsay, note = last.begins, last.hearsay, moment.note or last.note
        else:
            begins, hearsay, note = moment.day, moment.hearsay, moment.note
        found.append(
            Spell(timeline.fault, timeline.side, moment.state, begins, None, moment.severity, hearsay, note)
        )
    ends = [spell.begins for spell in found[1:]]
    return tuple(
        Spell(s.fault, s.side, s.state, s.begins, end, s.severity, s.hearsay, s.note)
        for s, end in zip(found, [*ends, None], strict=True)
    )


def state_on(steps: Iterable[FaultStep], day: dt.date, looks: Sequence[ReviewItem] = ()) -> State | None:
    """Return the state at the end of `day` from the steps of one fault and side."""
    found = timelines(steps, day, looks)
    moment = found[0].on(day) if found else None
    return moment.state if moment else None


def _timeline(
    fault: str, side: str, given: Sequence[FaultStep], looks: Sequence[ReviewItem]
) -> FaultTimeline:
    moments: list[Moment] = []
    openings: list[dt.date] = []
    sightings: list[Sighting] = []
    state: State | None = None
    severity: int | None = None
    days = [settle_day(list(own), looks) for _, own in groupby(given, key=lambda step: step.date)]
    steps = [step for day in days for step in day.steps]
    for step in steps:
        before = state
        state = _after(before, step)
        severity = step.severity if step.severity is not None else severity
        if _opens(before, step):
            openings.append(step.date)
        if step.step.sighting:
            sightings.append(Sighting(step.date, severity, step.reviewer))
        same = state == before and moments
        moment = Moment(
            step.date,
            state,
            severity,
            moments[-1].hearsay if same else not step.reviewer,
            (step.note or moments[-1].note) if same else step.note,
        )
        if moments and moments[-1].day == step.date:
            moments.pop()
        moments.append(moment)
    parkings = tuple(step.date for step in steps if step.step == Step.PARKED)
    return FaultTimeline(
        fault,
        side,
        tuple(moments),
        tuple(dict.fromkeys(openings)),
        parkings,
        tuple(sightings),
        tuple(replace(one, stands=one.day == given[-1].date) for day in days if (one := day.dispute)),
    )


def _after(before: State | None, step: FaultStep) -> State:
    """Return the state after `step`. A fault that is seen cannot be corrected: then it is back."""
    closed = before in CLOSED
    match step.step:
        case Step.CORRECTED:
            seen = step.reviewer or before == State.CORRECTED
            return State.CORRECTED if seen else State.SAID_CORRECTED
        case Step.WORK:
            return State.IN_WORK
        case Step.PARKED:
            return State.PARKED
        case Step.BACK:
            return State.BACK
        case Step.OPEN:
            return State.BACK if closed or before == State.BACK else State.OPEN
        case Step.SEEN:
            return State.OPEN if before is None else State.BACK if closed else before
        case other:
            assert_never(other)


def _opens(before: State | None, step: FaultStep) -> bool:
    """Return whether `step` opens the fault or brings it back."""
    return step.step == Step.BACK or (step.step != Step.CORRECTED and (before is None or before in CLOSED))


class ChangeKind(StrEnum):
    """What was changed, and what is compared with those who did not change it."""

    CORRECTION = "correction"
    CUE = "cue"
    DRILL = "drill"
    DRAW = "draw"
    """A randomised start."""


@dataclass(frozen=True)
class Change:
    """One change in one swimmer, with the day from which it could show.

    A correction counts from the day a reviewer saw it; hearsay is no correction here.
    """

    swimmer: str
    kind: ChangeKind
    fault: str
    date: dt.date
    text: str = ""


def corrections(swimmer: str, timelines: Iterable[FaultTimeline]) -> tuple[Change, ...]:
    """Return every correction that a reviewer saw, in order of date."""
    found = []
    for timeline in timelines:
        state = None
        for moment in timeline.moments:
            if moment.state == State.CORRECTED and state not in {None, State.CORRECTED}:
                found.append(Change(swimmer, ChangeKind.CORRECTION, timeline.fault, moment.day))
            state = moment.state
    return tuple(sorted(found, key=lambda change: change.date))


def works(swimmer: str, work: Iterable[Work]) -> tuple[Change, ...]:
    """Return the first day of every cue and drill, in order of date."""
    found = [Change(swimmer, _change_kind(w.kind), w.fault, w.from_date, w.text) for w in work]
    return tuple(sorted(found, key=lambda change: change.date))


def _change_kind(kind: WorkKind) -> ChangeKind:
    match kind:
        case WorkKind.CUE:
            return ChangeKind.CUE
        case WorkKind.DRILL:
            return ChangeKind.DRILL
        case other:
            assert_never(other)
