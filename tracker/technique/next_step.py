"""Propose the next step: one fault to work on, at most one more, what to leave, when to test and review."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace

from tracker.engine.verdict.verdict import Verdict, Word
from tracker.model.catalogue import Fault
from tracker.model.event import Event
from tracker.model.event_kinds import EventKind
from tracker.model.swimmer import Choice
from tracker.model.vocabularies import Answers, Arm, ChoiceKind, State, WorkKind
from tracker.model.work import Work
from tracker.settings import Settings
from tracker.technique.attention import Due
from tracker.technique.cautions import (
    Health,
    can_provoke,
    codes_for,
    health_on,
    in_use,
    is_thought,
    ordered,
    safe,
)
from tracker.technique.choices import ActiveChoice, active_choice
from tracker.technique.fault_timeline import FaultTimeline
from tracker.technique.link import Link
from tracker.technique.next_reasons import (
    AllLeft,
    AsARule,
    ChosenByCoach,
    Drawn,
    DrawnLater,
    DrawnNow,
    GoingWell,
    LeaveReason,
    NothingOnRecord,
    OneAtATime,
    Parked,
    ProposalReason,
    RaceSoon,
    ReviewFirst,
    StepReason,
)
from tracker.technique.practice_patterns import Caution
from tracker.technique.randomised_start import WEEKS_APART
from tracker.technique.ranking import LONG_WEEKS, Ranked, rank

RACE_DAYS = 28
"""So near before a race nothing that answers slowly is begun (common practice, no source)."""


@dataclass(frozen=True)
class NextStepInput:
    """What is known of one swimmer; `catalogue` by short name, own faults included."""

    verdict: Verdict | None
    link: Link | None
    timelines: Sequence[FaultTimeline]
    due: Due
    catalogue: Mapping[str, Fault]
    work: Sequence[Work] = ()
    events: Sequence[Event] = ()
    choices: Sequence[Choice] = ()


@dataclass(frozen=True)
class Proposal:
    """A fault to work on. `stop` are cues in use that can bring it about; empty cue or drill: none known."""

    fault: str
    side: str
    state: State
    severity: int | None
    cue: str
    drill: str
    stop: tuple[str, ...]
    reasons: tuple[ProposalReason, ...]


@dataclass(frozen=True)
class LeftForNow:
    """A fault to leave for now, and why."""

    fault: str
    side: str
    state: State
    reason: LeaveReason


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


def next_step(inputs: NextStepInput, *, as_of: dt.date, settings: Settings) -> NextStep:
    """Return the proposal for `as_of`; a coach's choice on record comes before the tool's ranking."""
    health = health_on(inputs.events, as_of, switched_on=settings.health)
    ranked = _ranked(inputs, as_of)
    choice = active_choice(inputs.choices, inputs.timelines, inputs.events, as_of=as_of, settings=settings)
    chosen, said = _chosen(choice, ranked, as_of)
    left = {_key(one): why for one in ranked if (why := _why_left(one, inputs, as_of)) is not None}
    if chosen:
        left.pop(_key(chosen), None)
    free = [one for one in ranked if _key(one) not in left]
    free.sort(key=lambda one: one is not chosen)
    first = free[0] if free else None
    second = None if first is None or health.injured else _second(first, free[1:])
    taken = [one for one in (first, second) if one is not None]
    leave = [
        LeftForNow(*_key(one), one.moment.state, left.get(_key(one)) or OneAtATime())
        for one in ranked
        if one not in taken
    ]
    proposals = [_proposal(one, inputs, health, as_of) for one in taken]
    if said:
        proposals[0] = replace(proposals[0], reasons=(said, *proposals[0].reasons))
    may_test = not inputs.due.held
    care = [
        code
        for one, proposal in zip(taken, proposals, strict=True)
        for code in codes_for(
            one.entry.care if one.entry else (), (proposal.cue, proposal.drill), health, tests=may_test
        )
    ]
    running = [work.text for work in inputs.work if in_use(work, as_of)]
    return NextStep(
        first=proposals[0] if proposals else None,
        second=proposals[1] if len(proposals) > 1 else None,
        leave=tuple(leave),
        due=inputs.due,
        reasons=tuple(_why_nothing(inputs, ranked, taken)),
        cautions=ordered([*care, *codes_for((), running, health, tests=may_test)]),
    )


def _ranked(known: NextStepInput, as_of: dt.date) -> list[Ranked]:
    """Return the uncorrected faults, the one with most points first, then the catalogue's order."""
    places = {slug: place for place, slug in enumerate(known.catalogue)}
    found = [
        one
        for timeline in known.timelines
        if (one := rank(timeline, known.catalogue.get(timeline.fault), known.link, known.work, as_of=as_of))
    ]
    return sorted(
        found, key=lambda one: (-one.points, places.get(one.timeline.fault, len(places)), one.timeline.side)
    )


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
    """Return what the first draw of a fault says."""
    mine = [
        choice
        for choice in choices
        if choice.kind == ChoiceKind.STAGGER
        and (choice.fault, choice.side) == _key(one)
        and choice.date <= as_of
    ]
    first = min(mine, key=lambda choice: choice.date, default=None)
    if first is None:
        return None
    if first.value == Arm.LATER:
        return DrawnLater(first.date + dt.timedelta(weeks=WEEKS_APART))
    return DrawnNow(first.date)


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


def _proposal(one: Ranked, known: NextStepInput, health: Health, as_of: dt.date) -> Proposal:
    using = [work for work in known.work if in_use(work, as_of)]
    stop = tuple(w.text for w in using if is_thought(w) and one.entry and can_provoke(one.entry, w.text))
    drawn = _drawn(one, known.choices, as_of)
    drills = one.entry.drills if one.entry else ()
    return Proposal(
        one.timeline.fault,
        one.timeline.side,
        one.moment.state,
        one.moment.severity,
        cue=_pick(WorkKind.CUE, one, known, _cues(one, known), lambda text: text not in stop, as_of),
        drill=_pick(WorkKind.DRILL, one, known, drills, lambda text: safe(text, health), as_of),
        stop=stop,
        reasons=one.reasons if drawn is None else (*one.reasons, drawn),
    )


def _cues(one: Ranked, known: NextStepInput) -> list[str]:
    """Return the catalogue's cues that cannot bring about another uncorrected fault of this swimmer."""
    others = [
        entry
        for timeline in known.timelines
        if timeline.fault != one.timeline.fault and (entry := known.catalogue.get(timeline.fault)) is not None
    ]
    return [
        cue
        for cue in (one.entry.cues if one.entry else ())
        if not any(can_provoke(other, cue) for other in others)
    ]


def _pick(
    kind: WorkKind,
    one: Ranked,
    known: NextStepInput,
    offered: Sequence[str],
    allowed: Callable[[str], bool],
    as_of: dt.date,
) -> str:
    """Return what is in use and not worn out, else the first offer not tried yet, else the first."""
    mine = [work for work in known.work if work.kind == kind and work.fault == one.timeline.fault]
    worn = as_of - dt.timedelta(weeks=LONG_WEEKS)
    going = [w.text for w in mine if in_use(w, as_of) and w.from_date > worn and allowed(w.text)]
    if going:
        return going[-1]
    tried = {work.text.casefold() for work in mine}
    free = [text for text in offered if allowed(text)]
    return next(iter([*(text for text in free if text.casefold() not in tried), *free]), "")


def _why_nothing(known: NextStepInput, ranked: Sequence[Ranked], taken: Sequence[Ranked]) -> list[StepReason]:
    """Return why there is nothing to work on, or what to bear in mind beside it."""
    if taken:
        gaining = known.verdict is not None and known.verdict.verdict == Word.GAINING
        return [GoingWell()] if gaining and taken[0].moment.state == State.IN_WORK else []
    if ranked:
        return [AllLeft(len(ranked))]
    plateau = known.verdict is not None and known.verdict.verdict == Word.PLATEAU
    return [ReviewFirst() if plateau else NothingOnRecord()]
