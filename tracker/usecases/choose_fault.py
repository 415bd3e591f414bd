"""Keep the coach's own choice of what to work on, with its reason."""

from __future__ import annotations

import datetime as dt

from tracker.entry.forms import read_record
from tracker.errors import UsageError
from tracker.faults.life import CLOSED, lives
from tracker.records.catalogue import fault
from tracker.records.fault import FaultStep, OwnFault
from tracker.records.swimmer import Choice
from tracker.store.database import Store


def choose_fault(  # noqa: PLR0913 - what is chosen, and who does it when
    store: Store,
    name: str,
    chosen: str,
    *,
    side: str = "",
    reason: str,
    as_of: dt.date,
    who: str,
    at: dt.datetime,
) -> Choice:
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
        raise UsageError("a choice of your own is kept with its reason; give --reason")
    with store.read() as reader:
        label = reader.swimmer(name).record.swimmer
        slug = fault(chosen, [kept.record for kept in reader.all(OwnFault)]).slug
        steps = [kept.record for kept in reader.all(FaultStep, swimmer=label)]
    states = [
        life.moments[-1].state
        for life in lives(steps, as_of)
        if life.fault == slug and life.moments[-1].state not in CLOSED and side in {"", life.side}
    ]
    if not states:
        where = f"{slug} ({side})" if side else slug
        raise UsageError(f"{label} has no uncorrected {where} on record; open it first ('slackwater fault')")
    form = {"date": as_of.isoformat(), "swimmer": label, "kind": "choose", "fault": slug}
    value = "parked" if "parked" in states else ""
    choice = read_record(Choice, {**form, "side": side, "value": value, "reason": reason, "by": who})
    with store.write(who=who, what=f"choose {slug} for {label}", at=at) as writer:
        writer.add([choice])
    return choice
