"""Add a fault of the coach's own to the catalogue."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping

from tracker.entry.forms import read_record
from tracker.errors import EntryError, Problem
from tracker.records.catalogue import Fault, own_fault
from tracker.records.fault import OWN, OwnFault
from tracker.store.database import Store


def add_fault(store: Store, form: Mapping[str, str], *, who: str, at: dt.datetime) -> Fault:
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
    with store.write(who=who, what=f"add fault {entry.fault}", at=at) as writer:
        if any(kept.record.fault == entry.fault for kept in writer.all(OwnFault)):
            reason = f"{entry.fault!r} is there already; take another short name"
            raise EntryError((Problem("fault", entry.fault, reason),))
        writer.add([entry])
    return own_fault(entry)
