"""One step in the life of a swimmer's fault."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass

from tracker.entry.dates import checked_past
from tracker.entry.forms import read_record
from tracker.errors import EntryError, Problem, UsageError
from tracker.faults.life import CLOSED, state_on
from tracker.faults.link import State
from tracker.records.catalogue import Fault, fault
from tracker.records.fault import FaultStep, OwnFault
from tracker.store.database import Store
from tracker.usecases.change_consent import check_may_record

VERBS = {
    "open": "open",
    "seen": "seen",
    "work": "work",
    "corrected": "corrected",
    "park": "parked",
    "back": "back",
}
"""Verb -> the step that is written down."""


@dataclass(frozen=True)
class TypedStep:
    """A step as somebody typed it.

    Attributes
    ----------
    verb
        One of `VERBS`.
    by
        The reviewer who saw it; empty for hearsay.
    reason
        Why; needed to park a fault.
    """

    name: str
    verb: str
    fault: str
    side: str = ""
    severity: str = ""
    date: str = ""
    by: str = ""
    reason: str = ""


@dataclass(frozen=True)
class Changed:
    """The step taken, the state before it and after it, and the catalogue's entry."""

    step: FaultStep
    before: State | None
    after: State
    entry: Fault


def change_fault(store: Store, typed: TypedStep, *, as_of: dt.date, who: str, at: dt.datetime) -> Changed:
    """Write down one step.

    Raises
    ------
    UnknownNameError
        If the swimmer or the fault is not known.
    EntryError
        With every problem of the form.
    UsageError
        If the step does not follow from the state on that day.
    """
    with store.read() as reader:
        swimmer = reader.swimmer(typed.name).record
        check_may_record(reader, swimmer.swimmer, as_of)
        entry = fault(typed.fault.strip(), [kept.record for kept in reader.all(OwnFault)])
    form = {
        "date": typed.date.strip() or as_of.isoformat(),
        "swimmer": swimmer.swimmer,
        "fault": entry.slug,
        "side": typed.side,
        "step": VERBS.get(typed.verb, typed.verb),
        "severity": typed.severity,
        "reviewer": typed.by,
        "note": typed.reason,
    }
    step = read_record(FaultStep, form)
    try:
        checked_past(step.date, as_of, swimmer.born)
    except ValueError as wrong:
        raise EntryError((Problem("date", typed.date, str(wrong)),)) from None
    with store.write(who=who, what=f"{typed.verb} {step.fault} of {swimmer.swimmer}", at=at) as writer:
        known = [kept.record for kept in writer.all(FaultStep, swimmer=swimmer.swimmer, fault=step.fault)]
        step = _on_its_side(step, known)
        mine = [one for one in known if one.side == step.side]
        before = state_on(mine, step.date)
        _check(step, before)
        writer.add([step])
    after = state_on([*mine, step], step.date)
    if after is None:
        raise UsageError(f"{step.fault} has no state on {step.date}")
    return Changed(step, before, after, entry)


def _on_its_side(step: FaultStep, known: list[FaultStep]) -> FaultStep:
    """Return the step with the side that is meant where only one is on record."""
    sides = {one.side for one in known if one.date <= step.date}
    if step.side or step.step == "open" or "" in sides or not sides:
        return step
    if len(sides) > 1:
        raise UsageError(f"{step.fault} is on record left and right; say which with --side")
    return step.model_copy(update={"side": sides.pop()})


def _check(step: FaultStep, before: State | None) -> None:
    where = f"{step.fault}{f' ({step.side})' if step.side else ''}"
    there = before is not None and before not in CLOSED
    if step.step == "parked" and not step.note.strip():
        raise UsageError("a fault is parked on purpose, with a reason; give --reason")
    if step.step == "open" and there:
        raise UsageError(f"{where} is {before} already on {step.date}; if it was seen again, say 'seen'")
    if step.step == "open" and before in CLOSED:
        raise UsageError(f"{where} was {before} by {step.date}; if it has come back, say 'back'")
    if step.step == "back" and before not in CLOSED:
        state = "not on record" if before is None else before
        raise UsageError(f"{where} is {state} on {step.date}, not corrected, so it cannot be back")
    if step.step in {"corrected", "work", "parked"} and before is None:
        raise UsageError(f"{where} is not on record by {step.date}; open it first")
    if step.step == "corrected" and before == "corrected":
        raise UsageError(f"{where} is corrected already on {step.date}")
