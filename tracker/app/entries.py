"""Entries of any kind: list, find, delete."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, Final, TypeVar

from tracker.app.session import Session
from tracker.model.base import Record, StoredRow
from tracker.model.event import Event, Load
from tracker.model.fault import FaultStep
from tracker.model.review import ReviewItem
from tracker.model.swim import Swim
from tracker.model.work import Work

R = TypeVar("R", bound=Record)


def list_entries(session: Session, kind: type[R], name: str, /, **equal: Any) -> list[StoredRow[R]]:  # noqa: ANN401 - any field's value
    """Return a swimmer's entries of a kind, oldest first; raises `UnknownNameError`."""
    with session.store.read() as reader:
        return reader.all(kind, swimmer=reader.swimmer(name).record.swimmer, **equal)


def find_entry(session: Session, kind: type[R], number: int) -> StoredRow[R]:
    """Return an entry by its number; raises `UnknownNameError`."""
    with session.store.read() as reader:
        return reader.one(kind, number)


CALLED: Final[Mapping[type[Record], str]] = {
    Event: "event",
    Load: "week",
    Work: "cue or drill",
    FaultStep: "fault step",
    ReviewItem: "review item",
    Swim: "swim",
}
"""What each kind that can be deleted is called in the history."""


def kind_of(record: Record) -> type[Record]:
    """Return the kind of a record, also of one that is only shown in part."""
    return next(kind for kind in CALLED if isinstance(record, kind))


def delete_entry(session: Session, old: StoredRow[Any]) -> None:
    """Delete an entry as it was seen; raises `StaleError` if somebody changed it meanwhile."""
    kind = kind_of(old.record)
    what = f"delete {CALLED[kind]} {old.id} of {old.record.swimmer}"
    with session.write(what) as writer:
        writer.remove(kind, old.id, old.version)
