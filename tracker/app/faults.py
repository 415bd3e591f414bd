"""Faults: the catalogue, own faults, a fault's timeline, faults in work."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping
from dataclasses import dataclass
from typing import assert_never

from tracker.app.consents import check_may_record
from tracker.app.session import Session
from tracker.entry.dates import checked_past
from tracker.entry.forms import read_record
from tracker.entry.sides import check_side
from tracker.errors import EntryError, Problem, UsageError
from tracker.model.catalogue import Fault, fault, full_catalogue, own_fault
from tracker.model.fault import OWN, FaultStep, OwnFault
from tracker.model.review import ReviewItem
from tracker.model.swimmer import Swimmer
from tracker.model.vocabularies import State, Step
from tracker.model.work import Work
from tracker.remedies import FillIn, Mend
from tracker.store.reading import Reader
from tracker.technique.disputes import several_looked
from tracker.technique.fault_timeline import CLOSED, Spell, spells, state_on
from tracker.technique.pipeline import by_swimmer


def fault_names(session: Session) -> dict[str, str]:
    """Return short name -> plain name, in the catalogue's order."""
    with session.store.read() as reader:
        return names_in(reader)


def names_in(reader: Reader) -> dict[str, str]:
    """Return the same out of one snapshot."""
    own = [row.record for row in reader.all(OwnFault)]
    return {fault.slug: fault.name for fault in full_catalogue(own)}


def list_faults(session: Session | None) -> tuple[Fault, ...]:
    """Return the built-in faults, then the coach's own where there is a database."""
    if session is None:
        return full_catalogue()
    with session.store.read() as reader:
        return full_catalogue(row.record for row in reader.all(OwnFault))


def add_fault(session: Session, form: Mapping[str, str]) -> Fault:
    """Add one entry; `form` holds fields of `OwnFault` as typed, cues and drills one a line.

    Raises
    ------
    EntryError
        With every problem of the form, or if the short name is taken or does not begin with "own-".
    """
    entry = read_record(OwnFault, form)
    if not entry.fault.startswith(OWN):
        reason = f"{entry.fault!r} does not begin with {OWN!r}; write {OWN + entry.fault!r}"
        raise EntryError((Problem("fault", entry.fault, reason),))
    with session.write(f"add fault {entry.fault}") as writer:
        if any(row.record.fault == entry.fault for row in writer.all(OwnFault)):
            reason = f"{entry.fault!r} is there already; take another short name"
            raise EntryError((Problem("fault", entry.fault, reason),))
        writer.add([entry])
    return own_fault(entry)


VERBS = {step.verb: step for step in Step}
"""Verb -> the step that is written down."""


@dataclass(frozen=True)
class StepTaken:
    """The step taken, the state before it and after it, and the catalogue's entry."""

    step: FaultStep
    before: State | None
    after: State
    entry: Fault


def change_fault(session: Session, name: str, form: Mapping[str, str]) -> StepTaken:
    """Write down one step; `form` holds fields of `FaultStep` as typed, the step as one of `VERBS`.

    Raises
    ------
    UnknownNameError
        If the swimmer or the fault is not known.
    EntryError
        With every problem of the form.
    UsageError
        If the step does not follow from the state on that day.
    """
    with session.store.read() as reader:
        swimmer = reader.swimmer(name).record
        check_may_record(reader, swimmer.swimmer, session.today)
        entry = fault(form.get("fault", "").strip(), [row.record for row in reader.all(OwnFault)])
    verb = form.get("step", "")
    said = {
        "date": form.get("date", "").strip() or session.today.isoformat(),
        "swimmer": swimmer.swimmer,
        "fault": entry.slug,
        "step": VERBS.get(verb, verb),
    }
    step = read_record(FaultStep, {**said, **form, **said})
    try:
        checked_past(step.date, session.today, swimmer.born)
    except ValueError as wrong:
        raise EntryError((Problem("date", form.get("date", ""), str(wrong)),)) from None
    with session.write(f"{verb} {step.fault} of {swimmer.swimmer}") as writer:
        known = [row.record for row in writer.all(FaultStep, swimmer=swimmer.swimmer, fault=step.fault)]
        check_side(entry, step.side, known)
        step = _on_its_side(step, known)
        mine = [one for one in known if one.side == step.side]
        looks = [row.record for row in writer.all(ReviewItem, swimmer=swimmer.swimmer)]
        before = state_on(mine, step.date, looks)
        _check(step, before)
        writer.add([step])
    after = state_on([*mine, step], step.date, looks)
    if after is None:
        raise UsageError(f"{step.fault} has no state on {step.date}")
    return StepTaken(step, before, after, entry)


def _on_its_side(step: FaultStep, known: list[FaultStep]) -> FaultStep:
    """Return the step with the side that is meant where only one is on record."""
    sides = {one.side for one in known if one.date <= step.date}
    if step.side or step.step is Step.OPEN or "" in sides or not sides:
        return step
    if len(sides) > 1:
        raise UsageError(f"{step.fault} is on record left and right", Mend.SAY_SIDE)
    return step.model_copy(update={"side": sides.pop()})


def _check(step: FaultStep, before: State | None) -> None:
    where = f"{step.fault}{f' ({step.side})' if step.side else ''}"
    match step.step:
        case Step.OPEN if before in CLOSED:
            raise UsageError(f"{where} was {before} by {step.date}; if it has come back, say 'back'")
        case Step.OPEN if before is not None:
            raise UsageError(f"{where} is {before} already on {step.date}; if it was seen again, say 'seen'")
        case Step.BACK if before not in CLOSED:
            state = before or "not on record"
            raise UsageError(f"{where} is {state} on {step.date}, not corrected, so it cannot be back")
        case Step.PARKED if not step.note.strip():
            raise UsageError("a fault is parked on purpose, with a reason", FillIn(("reason",)))
        case Step.CORRECTED | Step.WORK | Step.PARKED if before is None:
            raise UsageError(f"{where} is not on record by {step.date}; open it first")
        case Step.CORRECTED if before == State.CORRECTED:
            raise UsageError(f"{where} is corrected already on {step.date}")
        case Step.OPEN | Step.SEEN | Step.WORK | Step.CORRECTED | Step.PARKED | Step.BACK:
            return
        case other:
            assert_never(other)


def _place(state: State) -> int:
    """Return the place of a fault among others by its state: what waits for somebody comes first."""
    match state:
        case State.BACK:
            return 0
        case State.OPEN:
            return 1
        case State.IN_WORK:
            return 2
        case State.SAID_CORRECTED:
            return 3
        case State.PARKED:
            return 4
        case State.CORRECTED:
            return 5
        case other:
            assert_never(other)


LATELY_DAYS = 180


@dataclass(frozen=True)
class FaultInHand:
    """One fault of one swimmer as it is now.

    Attributes
    ----------
    since
        The day from which it has been in `state`.
    days
        From then to the day asked about.
    in_use
        Cues and drills tied to it that go on.
    reason
        The note of the step that led to this state: for a parked one why it was left.
    """

    swimmer: str
    group: str
    fault: str
    side: str
    state: State
    severity: int | None
    since: dt.date
    days: int
    in_use: tuple[str, ...]
    reason: str


def faults_in_hand(session: Session) -> list[FaultInHand]:
    """Return them: what came back first, then open, in work and so on; the longest first in each."""
    with session.store.read() as reader:
        people = {row.record.swimmer: row.record for row in reader.all(Swimmer)}
        steps = by_swimmer(row.record for row in reader.all(FaultStep))
        work = by_swimmer(row.record for row in reader.all(Work))
        met = tuple(name for name, own in steps.items() if several_looked(own))
        looks = by_swimmer(row.record for row in reader.all(ReviewItem, swimmer=met)) if met else {}
    found = [
        _in_hand(people[name], spell, work.get(name, []), session.today)
        for name, own in steps.items()
        if name in people and people[name].archived is None
        for spell in spells(own, session.today, looks.get(name, ()))
        if spell.ends is None
    ]
    wanted = [one for one in found if one.state is not State.CORRECTED or one.days <= LATELY_DAYS]
    return sorted(wanted, key=lambda one: (_place(one.state), -one.days, one.swimmer, one.fault))


def _in_hand(who: Swimmer, spell: Spell, work: list[Work], as_of: dt.date) -> FaultInHand:
    in_use = tuple(
        f"{one.kind} {one.text}"
        for one in work
        if one.fault == spell.fault
        and one.from_date <= as_of
        and (one.to_date is None or one.to_date >= as_of)
    )
    return FaultInHand(
        who.swimmer,
        who.group,
        spell.fault,
        spell.side,
        spell.state,
        spell.severity,
        spell.begins,
        (as_of - spell.begins).days,
        in_use,
        spell.note,
    )
