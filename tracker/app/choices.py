"""The coach's choices: another fault, randomised starts."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from dataclasses import dataclass
from statistics import median

import numpy as np

from tracker.app.learned_priors import learned_priors
from tracker.app.next_step import graded_line, step_of
from tracker.app.read_evidence import RosterRecord, evidence_of
from tracker.app.roster_evidence import learn_roster_evidence
from tracker.app.session import Session
from tracker.entry.forms import read_record
from tracker.entry.sides import check_side
from tracker.errors import UsageError
from tracker.model.catalogue import fault
from tracker.model.fault import WORST, FaultStep, OwnFault
from tracker.model.review import ReviewItem
from tracker.model.swimmer import Choice
from tracker.model.vocabularies import Arm, ChoiceKind, Phase, State
from tracker.output.sentences.numbers import count
from tracker.remedies import FillIn, Mend
from tracker.settings import Settings
from tracker.technique.fault_timeline import CLOSED, timelines
from tracker.technique.next_reasons import ChosenByCoach, DrawnLater, DrawnNow
from tracker.technique.randomised_start import WEEKS_APART, WEEKS_BEFORE, Draw, draw, smallest_effect


def choose_fault(session: Session, name: str, chosen: str, *, side: str = "", reason: str) -> Choice:
    """Write down that a swimmer works on `chosen` whatever the tool proposes.

    Raises
    ------
    UnknownNameError
        If the swimmer or the fault is not known.
    UsageError
        Without a reason, or if the swimmer has no such uncorrected fault.
    EntryError
        If the side or the reason cannot be taken.
    """
    if not reason.strip():
        raise UsageError("a choice of your own is kept with its reason", FillIn(("reason",)))
    with session.store.read() as reader:
        label = reader.swimmer(name).record.swimmer
        entry = fault(chosen, [row.record for row in reader.all(OwnFault)])
        steps = [row.record for row in reader.all(FaultStep, swimmer=label)]
        looks = [row.record for row in reader.all(ReviewItem, swimmer=label)]
    slug = entry.slug
    check_side(entry, side, steps)
    states = [
        timeline.moments[-1].state
        for timeline in timelines(steps, session.today, looks)
        if timeline.fault == slug and timeline.moments[-1].state not in CLOSED and side in {"", timeline.side}
    ]
    if not states:
        where = f"{slug} ({side})" if side else slug
        raise UsageError(f"{label} has no uncorrected {where} on record; open it first", Mend.OPEN_FAULT)
    form = {"date": session.today.isoformat(), "swimmer": label, "kind": ChoiceKind.CHOOSE, "fault": slug}
    value = State.PARKED if State.PARKED in states else ""
    choice = read_record(Choice, {**form, "side": side, "value": value, "reason": reason, "by": session.who})
    with session.write(f"choose {slug} for {label}") as writer:
        writer.add([choice])
    return choice


@dataclass(frozen=True)
class DrawPlan:
    """Swimmers a draw would take; the smallest effect (percent a month) it could show, None if nobody."""

    proposed: tuple[tuple[str, str, str], ...]
    smallest: float | None


def plan_draw(session: Session, *, name: str | None = None) -> DrawPlan:
    """Return who is proposed a fault that nobody works on, chose or drew before; none of severity 3.

    Raises
    ------
    UnknownNameError
        If nobody is called so.
    UsageError
        If nobody can be drawn.
    """
    learned = learned_priors(session)
    roster_evidence = learn_roster_evidence(session)
    with session.store.read() as reader:
        record = evidence_of(
            reader,
            learned,
            as_of=session.today,
            settings=session.settings,
            roster_evidence=roster_evidence,
            name=name,
        )
    proposed = [
        found
        for label in sorted(record.lines)
        if (found := _ready(record, label, session.today, session.settings))
    ]
    if not proposed:
        raise UsageError(
            "nobody to draw: it takes a swimmer with a fault proposed that is not in work, "
            "not drawn yet and not of severity 3"
        )
    noise = [v.noise_pct for name_, _, _ in proposed if (v := record.lines[name_].verdict)]
    rhythm = [_tests_a_week(record, name_, session.today) for name_, _, _ in proposed]
    half = len(proposed) // 2
    smallest = smallest_effect(
        half,
        len(proposed) - half,
        tests_a_week=median(rhythm),
        noise_pct=median(noise) if noise else 1.5,
    )
    return DrawPlan(tuple(proposed), smallest)


def draw_starts(
    session: Session, proposed: Sequence[tuple[str, str, str]], generator: np.random.Generator
) -> tuple[Draw, ...]:
    """Draw, and keep the draw: the later analysis goes by it."""
    drawn = draw(proposed, generator, on=session.today)
    choices = [
        Choice.model_validate(
            {
                "date": session.today,
                "swimmer": one.swimmer,
                "kind": ChoiceKind.STAGGER,
                "fault": one.fault,
                "side": one.side,
                "value": one.arm,
                "by": session.who,
            }
        )
        for one in drawn
    ]
    with session.write(f"draw starts for {count(len(drawn), 'swimmer')}") as writer:
        writer.add(choices)
    return drawn


def draws_on_record(session: Session, *, name: str = "") -> tuple[Draw, ...]:
    """Return what was drawn by today, of one swimmer if named; the latest draw first."""
    with session.store.read() as reader:
        whose = {"swimmer": reader.swimmer(name).record.swimmer} if name else {}
        found = [row.record for row in reader.all(Choice, kind=ChoiceKind.STAGGER, **whose)]
    later = dt.timedelta(weeks=WEEKS_APART)
    return tuple(
        Draw(one.swimmer, one.fault, one.side, Arm.LATER, one.date + later)
        if one.value == Arm.LATER
        else Draw(one.swimmer, one.fault, one.side, Arm.NOW, one.date)
        for one in sorted(found, key=lambda one: one.date, reverse=True)
        if one.date <= session.today
    )


def _ready(
    record: RosterRecord, label: str, as_of: dt.date, settings: Settings
) -> tuple[str, str, str] | None:
    verdict = record.lines[label].verdict
    if verdict is None or verdict.stale:
        return None
    step = step_of(record, graded_line(record, label, (), settings), as_of=as_of, settings=settings)
    one = step.first
    if one is None or one.state.phase is not Phase.WAITING or step.due.held:
        return None
    if WORST in {one.severity, *(other.severity for other in one.others)}:
        return None
    if any(isinstance(reason, ChosenByCoach | DrawnNow | DrawnLater) for reason in one.reasons):
        return None
    return label, one.fault, one.side


def _tests_a_week(record: RosterRecord, label: str, as_of: dt.date) -> float:
    verdict = record.lines[label].verdict
    since = as_of - dt.timedelta(weeks=WEEKS_BEFORE)
    points = verdict.points if verdict else ()
    days = {point.date for point in points if point.date > since and not point.set_aside}
    return len(days) / WEEKS_BEFORE
