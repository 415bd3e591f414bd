"""What is written down of one kind about one swimmer, with the numbers by which it is corrected."""

from __future__ import annotations

from typing import Any, TypeVar

from tracker.records.base import Record
from tracker.records.kept import Kept
from tracker.store.database import Store

R = TypeVar("R", bound=Record)


def list_entries(store: Store, kind: type[R], name: str, /, **equal: Any) -> list[Kept[R]]:  # noqa: ANN401 - any field's value
    """Return a swimmer's entries of a kind, oldest first; raises `UnknownNameError`."""
    with store.read() as reader:
        return reader.all(kind, swimmer=reader.swimmer(name).record.swimmer, **equal)


def find_entry(store: Store, kind: type[R], number: int) -> Kept[R]:
    """Return an entry by its number; raises `UnknownNameError`."""
    with store.read() as reader:
        return reader.one(kind, number)
