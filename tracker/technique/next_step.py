"""Propose the next step: one fault to work on, at most one more, what to leave, when to test and review."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from tracker.engine.verdict.verdict import Verdict, Word
from tracker.model.catalogue import Fault
from tracker.model.event import Event
from tracker.model.event_kinds import EventKind
from tracker.model.fault import WORST
from tracker.model.practices import Caution
from tracker.model.swimmer import Choice
from tracker.model.vocabularies import Answers, Arm, ChoiceKind, State, WorkKind
from tracker.model.work import Work
from tracker.settings import Settings
from tracker.technique.cautions import codes_for, in_use, ordered
from tracker.technique.choices import ActiveChoice, active_choice
from tracker.technique.due import Due
from tracker.technique.fault_timeline import CLOSED, FaultTimeline
from tracker.technique.held_back import HeldBack
from tracker.technique.link import Link
from tracker.technique.next_reasons import (
    AllLeft,
    AsARule,
    ChosenByCoach,
    Drawn,
    DrawnLater,
    DrawnNow,
    FedBy,
    Feeds,
    GoingWell,
    HeldBackNow,
    LeaveReason,
    NoLookYet,
    NothingOnRecord,
    OneAtATime,
    Parked,
    ProposalReason,
    RaceSoon,
    ReviewFirst,
    StepReason,
)
from tracker.technique.offers import (
    NotOffered,
    ToStop,
    may_be_said_again,
    not_offered,
    others_uncorrected,
    pick,
    to_stop,
)
from tracker.technique.randomised_start import WEEKS_APART
from tracker.technique.ranking import OtherSide, Ranked, goes_before, in_order, one_line_a_fault, rank

RACE_DAYS = 28
"""So near before a race nothing that answers slowly is begun (common practice, no source)."""


@dataclass(frozen=True)
class NextStepInput:
    """What is known of one swimmer; `catalogue` by short name, own faults included.

    `looked` is whether a look is on record.
    """

    verdict: Verdict | None
    link: Link | None
    timelines: Sequence[FaultTimeline]
    due: Due
    catalogue: Mapping[str, Fault]
    work: Sequence[Work] = ()
    events: Sequence[Event] = ()
    choices: Sequence[Choice] = ()
    looked: bool = False


@dataclass(frozen=True)
class Proposal:
    """A fault to work on; empty cue or drill: none known. `side` is the first of its sides.

    `drills_rest` is whether all its drills load what is hurt, `caution` the fault's own.
    """

    fault: str
    side: str
    state: State
    severity: int | None
    cue: str
    drill: str
    stop: tuple[ToStop, ...]
    reasons: tuple[ProposalReason, ...]
    others: tuple[OtherSide, ...] = ()
    drills_rest: bool = False
    not_offered: tuple[NotOffered, ...] = ()
    caution: str = ""


@dataclass(frozen=True)
class LeftForNow:
    """A fault to leave for now, and why; `side` is the first of its sides."""

    fault: str
    side: str
    state: State
    reason: LeaveReason
    others: tuple[OtherSide, ...] = ()


@dataclass(frozen=True)
class NextStep:
    """What comes next.

    Attributes
    ----------
    first, second
        What to work on; both None where there is nothing to work on, then `reasons` say why.
    due
        When to test and look again, as everywhere else.
    """

    first: Proposal | None
    second: Proposal | None
    leave: tuple[LeftForNow, ...]
    due: Due
    reasons: tuple[StepReason, ...]
    cautions: tuple[Caution, ...]

    @property
    def fault_cautions(self) -> tuple[str, ...]:
        """The cautions of the faults to work on, in their own words."""
        return tuple(one.caution for one in (self.first, self.second) if one and one.caution)


def next_step(inputs: NextStepInput, *, as_of: dt.date, settings: Settings) -> NextStep:
    """Return the proposal for `as_of`; a coach's choice on record comes before the tool's ranking."""
    held = inputs.due.held_by
    ranked = _ranked(inputs, as_of)
    choice = active_choice(inputs.choices, inputs.timelines, inputs.events, as_of=as_of, settings=settings)
    chosen, said = _chosen(choice, ranked, as_of)
    left = {_key(one): why for one in ranked if (why := _why_left(one, inputs, as_of)) is not None}
    if chosen:
        left.pop(_key(chosen), None)
    lines = one_line_a_fault(sorted(ranked, key=lambda one: one is not chosen), left)
    free = [one for one in lines if _key(one) not in left]
    first = free[0] if free else None
    second = None if first is None or held.injured else _second(first, free[1:])
    taken = [one for one in (first, second) if one is not None]
    leave = [
        LeftForNow(
            *_key(one),
            one.moment.state,
            left.get(_key(one)) or _fed_by(one, taken) or OneAtATime(),
            _sides(one),
        )
        for one in lines
        if one not in taken
    ]
    proposals = [_proposal(one, ranked, inputs, held, as_of) for one in taken]
    if said:
        proposals[0] = replace(proposals[0], reasons=(said, *proposals[0].reasons))
    may_test = held.may_test
    care = [
        code
        for one, proposal in zip(taken, proposals, strict=True)
        for code in codes_for(
            one.entry.care if one.entry else (), (proposal.cue, proposal.drill), held, tests=may_test
        )
    ]
    running = [work.text for work in inputs.work if in_use(work, as_of)]
    return NextStep(
        first=proposals[0] if proposals else None,
        second=proposals[1] if len(proposals) > 1 else None,
        leave=tuple(leave),
        due=inputs.due,
        reasons=(*_held_back(held), *_why_nothing(inputs, lines, taken)),
        cautions=ordered([*care, *codes_for((), running, held, tests=may_test)]),
    )


def _ranked(known: NextStepInput, as_of: dt.date) -> list[Ranked]:
    """Return the uncorrected faults, each side, in the order in which they come up for work."""
    places = {slug: place for place, slug in enumerate(known.catalogue)}
    found = [
        one
        for timeline in known.timelines
        if (one := rank(timeline, known.catalogue.get(timeline.fault), known.link, known.work, as_of=as_of))
    ]
    return in_order(found, places)


def _key(one: Ranked) -> tuple[str, str]:
    return one.timeline.fault, one.timeline.side


def _why_left(one: Ranked, known: NextStepInput, as_of: dt.date) -> LeaveReason | None:
    """Return why a fault is not to be worked on now; None if it may be."""
    if one.moment.state == State.PARKED:
        return Parked(one.moment.note, one.moment.day)
    drawn = _drawn(one, known.choices, as_of)
    if isinstance(drawn, DrawnLater) and drawn.starts > as_of:
        return drawn
    if one.moment.state == State.IN_WORK:
        return None
    if one.entry is not None and one.entry.park:
        return AsARule(one.entry.park_why)
    race = _next_race(known.events, as_of)
    if race is not None and one.slow:
        return RaceSoon(race)
    return None


def _drawn(one: Ranked, choices: Sequence[Choice], as_of: dt.date) -> Drawn | None:
    """Return what the first draw of a fault says; it holds for each side that was uncorrected that day.

    It never puts off what is as bad as can be.
    """
    mine = [
        choice
        for choice in choices
        if choice.kind == ChoiceKind.STAGGER
        and choice.fault == one.timeline.fault
        and choice.date <= as_of
        and (choice.side == one.timeline.side or _uncorrected(one.timeline, choice.date))
    ]
    first = min(mine, key=lambda choice: choice.date, default=None)
    if first is None:
        return None
    if first.value == Arm.LATER:
        starts = first.date + dt.timedelta(weeks=WEEKS_APART)
        return None if starts > as_of and one.moment.severity == WORST else DrawnLater(starts)
    return DrawnNow(first.date)


def _uncorrected(timeline: FaultTimeline, day: dt.date) -> bool:
    moment = timeline.on(day)
    return moment is not None and moment.state not in CLOSED


def _next_race(events: Sequence[Event], as_of: dt.date) -> dt.date | None:
    last = as_of + dt.timedelta(days=RACE_DAYS)
    return min(
        (e.from_date for e in events if e.kind == EventKind.RACE and as_of <= e.from_date <= last),
        default=None,
    )


def _chosen(
    choice: ActiveChoice | None, ranked: Sequence[Ranked], as_of: dt.date
) -> tuple[Ranked, ChosenByCoach] | tuple[None, None]:
    """Return the fault that a coach's choice stands for while it rules, and the choice as a reason.

    Without a side it is the highest ranked one.
    """
    if choice is None or not choice.rules(as_of):
        return None, None
    mine = [one for one in ranked if one.timeline in choice.timelines]
    first = min(mine, key=lambda one: one.timeline.side != choice.side)
    return first, ChosenByCoach(choice.by, choice.reason, choice.date, choice.until)


def _second(first: Ranked, others: Sequence[Ranked]) -> Ranked | None:
    """Return one more of another area, if it is in work already or answers quickly."""
    area = first.entry.area if first.entry else ""
    for one in others:
        other_area = one.entry.area if one.entry else ""
        ready = one.moment.state == State.IN_WORK or (
            one.entry is not None and one.entry.answers == Answers.QUICK
        )
        if ready and other_area != area:
            return one
    return None


def _proposal(
    one: Ranked, ranked: Sequence[Ranked], known: NextStepInput, held: HeldBack, as_of: dt.date
) -> Proposal:
    others = others_uncorrected(one, known.timelines, known.catalogue, as_of)
    stop = to_stop(one, known.work, others, as_of)
    ended = {ending.text for ending in stop}
    drawn = _drawn(one, known.choices, as_of)

    def may_be_used(text: str) -> bool:
        return text not in ended and held.may_do(text) and may_be_said_again(text)

    drill = pick(WorkKind.DRILL, one, known.work, may_be_used, others, as_of)
    all_rest = one.entry is not None and not any(held.may_do(text) for text in one.entry.drills)
    return Proposal(
        one.timeline.fault,
        one.timeline.side,
        one.moment.state,
        one.moment.severity,
        cue=pick(WorkKind.CUE, one, known.work, may_be_used, others, as_of),
        drill=drill,
        stop=stop,
        reasons=(*one.reasons, *_feeds(one, ranked), *([drawn] if drawn else [])),
        others=_sides(one),
        drills_rest=bool(one.entry and one.entry.drills) and all_rest and not drill,
        not_offered=tuple(o for o in not_offered(one, known.work, as_of) if o.text not in ended),
        caution=one.entry.caution if one.entry else "",
    )


def _sides(one: Ranked) -> tuple[OtherSide, ...]:
    return tuple(OtherSide(o.timeline.side, o.moment.state, o.moment.severity) for o in one.others)


def _feeds(one: Ranked, ranked: Sequence[Ranked]) -> list[Feeds]:
    """Return the uncorrected faults that it is worked on before, each once."""
    found = (goes_before(one, other) for other in ranked)
    return list(dict.fromkeys(Feeds(d.then, d.how, d.source) for d in found if d is not None))


def _fed_by(one: Ranked, taken: Sequence[Ranked]) -> FedBy | None:
    """Return which of the faults to work on comes before it."""
    found = (goes_before(other, one) for other in taken)
    return next((FedBy(d.fault, d.how, d.source) for d in found if d is not None), None)


def _held_back(held: HeldBack) -> list[StepReason]:
    """Return what an injury, illness or pregnancy on record leaves of the training."""
    if held.may_test:
        return []
    return [HeldBackNow(held.injured, held.arms_rest, held.ill, held.pregnant)]


def _why_nothing(known: NextStepInput, lines: Sequence[Ranked], taken: Sequence[Ranked]) -> list[StepReason]:
    """Return why there is nothing to work on, or what to bear in mind beside it."""
    if taken:
        gaining = known.verdict is not None and known.verdict.verdict == Word.GAINING
        return [GoingWell()] if gaining and taken[0].moment.state == State.IN_WORK else []
    if lines:
        return [AllLeft(len({one.timeline.fault for one in lines}))]
    plateau = known.verdict is not None and known.verdict.verdict == Word.PLATEAU
    if plateau:
        return [ReviewFirst()]
    return [NothingOnRecord() if known.looked or known.timelines else NoLookYet()]
