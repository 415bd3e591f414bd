"""Rank the uncorrected faults by points, each ground with its own.

The points are a plain rule of thumb (assumption, no source): what was left when the line went flat
comes first, then how bad it looks, what is known of its cost, how soon it may answer, and what was
tried already. What feeds another fault goes before it all the same, unless that one is better linked or
in work. A coach overrules it with a reason.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import assert_never

from tracker.model.catalogue import Dependency, Fault, dependencies
from tracker.model.vocabularies import Answers, CostKnown, Depends, Phase, State
from tracker.model.work import Work
from tracker.technique.fault_timeline import CLOSED, FaultTimeline, Moment
from tracker.technique.link import Evidence, How, Link, seen_late
from tracker.technique.next_reasons import (
    Answer,
    Cost,
    InWork,
    LeaveReason,
    Linked,
    LongInWork,
    RankReason,
    Severity,
    Tried,
)

LONG_WEEKS = 12
"""Weeks in work without a correction after which something else is tried (assumption)."""


@dataclass(frozen=True)
class OtherSide:
    """How the other side of a fault stands of which one side is named."""

    side: str
    state: State
    severity: int | None


@dataclass(frozen=True)
class Ranked:
    """One uncorrected fault with the grounds for and against working on it now.

    Attributes
    ----------
    linked
        The points of its link alone.
    others
        The other sides of the same fault, where what is said of this one holds for them.
    """

    timeline: FaultTimeline
    moment: Moment
    entry: Fault | None
    points: float
    reasons: tuple[RankReason, ...] = ()
    linked: float = 0.0
    others: tuple[Ranked, ...] = ()

    @property
    def slow(self) -> bool:
        """Whether it usually takes long to change."""
        return self.entry is not None and self.entry.answers == Answers.SLOW


def rank(
    timeline: FaultTimeline, entry: Fault | None, link: Link | None, work: Sequence[Work], *, as_of: dt.date
) -> Ranked | None:
    """Return the fault's grounds and points; None if it is corrected or not on record."""
    moment = timeline.on(as_of)
    if moment is None or moment.state in CLOSED:
        return None
    grounds = [
        *_linked(timeline, link),
        *_severity(moment),
        *_of_the_catalogue(entry),
        *_tried(timeline, moment, work, as_of),
    ]
    points = sum(weight for weight, _ in grounds)
    linked = sum(weight for weight, reason in grounds if isinstance(reason, Linked))
    return Ranked(timeline, moment, entry, points, tuple(r for weight, r in grounds if weight), linked)


def in_order(found: Iterable[Ranked], places: Mapping[str, int]) -> list[Ranked]:
    """Return the faults, the one with most points first, then by place; none before what feeds it."""
    pending = sorted(
        found, key=lambda one: (-one.points, places.get(one.timeline.fault, len(places)), one.timeline.side)
    )
    ordered: list[Ranked] = []
    while pending:
        free = (one for one in pending if not any(goes_before(other, one) for other in pending))
        ordered.append(next(free))
        pending.remove(ordered[-1])
    return ordered


def goes_before(first: Ranked, second: Ranked) -> Dependency | None:
    """Return the dependency by which `first` is worked on before `second`, whatever their points.

    It yields to work that is going on, to a better link, and, unless the one leads to the other, to a
    graver fault. Nothing waits for a fault that is parked.
    """
    found = _dependency(first.timeline.fault, second.timeline.fault)
    if found is None or first.linked < second.linked or first.moment.state == State.PARKED:
        return None
    if second.moment.state.phase is not Phase.WAITING:
        return None
    graver = (second.moment.severity or 1) > (first.moment.severity or 1)
    return None if graver and found.how is Depends.COMES_BEFORE else found


def _dependency(fault: str, then: str) -> Dependency | None:
    return next((one for one in dependencies() if (one.fault, one.then) == (fault, then)), None)


def one_line_a_fault(found: Iterable[Ranked], left: Mapping[tuple[str, str], LeaveReason]) -> list[Ranked]:
    """Return the faults with the sides of one together, where they are left for the same reason or none."""
    lines: dict[tuple[str, LeaveReason | None], Ranked] = {}
    for one in found:
        timeline = one.timeline
        key = (timeline.fault, left.get((timeline.fault, timeline.side)))
        lead = lines.get(key)
        lines[key] = one if lead is None else replace(lead, others=(*lead.others, one))
    return list(lines.values())


Weighed = tuple[float, RankReason]


def _linked(timeline: FaultTimeline, link: Link | None) -> list[Weighed]:
    if link is None or (link.fault, link.side) != (timeline.fault, timeline.side):
        return []
    weight = (2.0 if link.how == How.BEFORE else 1.0) + _grade(link.evidence)
    late = link.how == How.BEFORE and seen_late(link.opened, link.began)
    return [(weight, Linked(link.how, late, link.evidence))]


def _grade(evidence: Evidence) -> float:
    match evidence:
        case Evidence.NONE | Evidence.ON_RECORD:
            return 0.0
        case Evidence.COINCIDES:
            return 1.0
        case Evidence.CONSISTENT:
            return 1.5
        case Evidence.ROSTER:
            return 2.0
        case Evidence.RANDOMISED:
            return 2.5
        case other:
            assert_never(other)


def _severity(moment: Moment) -> list[Weighed]:
    return [(float(moment.severity or 1), Severity(moment.severity))]


def _of_the_catalogue(entry: Fault | None) -> list[Weighed]:
    if entry is None:
        return []
    return [
        (_cost(entry.cost_known), Cost(entry.cost_known, entry.cost)),
        (_answers(entry.answers), Answer(entry.answers)),
    ]


def _cost(known: CostKnown) -> float:
    match known:
        case CostKnown.MEASURED:
            return 1.0
        case CostKnown.INDIRECT:
            return 0.5
        case CostKnown.NONE:
            return 0.0
        case other:
            assert_never(other)


def _answers(answers: Answers) -> float:
    match answers:
        case Answers.QUICK:
            return 1.0
        case Answers.MEDIUM:
            return 0.5
        case Answers.SLOW:
            return 0.0
        case Answers.UNKNOWN:
            return 0.25
        case other:
            assert_never(other)


def _tried(timeline: FaultTimeline, moment: Moment, work: Sequence[Work], as_of: dt.date) -> list[Weighed]:
    """In work counts for going on, unless for long; what was tried and stopped counts against."""
    since = timeline.began(as_of)
    if moment.state == State.IN_WORK and since is not None:
        weeks = (as_of - since).days // 7
        if weeks >= LONG_WEEKS:
            return [(-1.0, LongInWork(weeks, since))]
        return [(2.0, InWork(weeks, since))]
    opened = timeline.opened_by(as_of)
    stopped = [
        one
        for one in work
        if one.fault == timeline.fault
        and one.to_date
        and one.to_date < as_of
        and opened
        and one.to_date >= opened
    ]
    if not stopped:
        return []
    return [(-0.5 * min(len(stopped), 2), Tried(len(stopped)))]
