"""Delete an entry: an event, a week, a cue or drill, a step of a fault's life. Undo brings it back."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping
from typing import Any, Final

from tracker.records.base import Record
from tracker.records.event import Event, Load
from tracker.records.fault import FaultStep
from tracker.records.kept import Kept
from tracker.records.review import ReviewItem
from tracker.records.work import Work
from tracker.store.database import Store

CALLED: Final[Mapping[type[Record], str]] = {
    Event: "event",
    Load: "week",
    Work: "cue or drill",
    FaultStep: "fault step",
    ReviewItem: "review item",
}
"""What each kind that can be deleted is called in the history."""


def delete_entry(store: Store, old: Kept[Any], *, who: str, at: dt.datetime) -> None:
    """Delete an entry as it was seen; raises `StaleError` if somebody changed it meanwhile."""
    kind = type(old.record)
    what = f"delete {CALLED[kind]} {old.id} of {old.record.swimmer}"
    with store.write(who=who, what=what, at=at) as writer:
        writer.remove(kind, old.id, old.version)
