"""The history: list, undo, redo."""

from __future__ import annotations

import datetime as dt

from tracker.store.database import Store
from tracker.store.reading import HistoryLine


def list_history(store: Store, *, swimmer: str | None = None, limit: int | None = None) -> list[HistoryLine]:
    """Return the changes, latest first; of one swimmer if given.

    Raises
    ------
    UnknownNameError
        If nobody is called so.
    """
    with store.read() as reader:
        label = reader.swimmer(swimmer).record.swimmer if swimmer else None
        return reader.history(label, limit)


def undo(store: Store, *, at: dt.datetime, who: str = "") -> str:
    """Return what was undone, in the history's words."""
    return store.undo(at=at, who=who)


def redo(store: Store, *, at: dt.datetime, who: str = "") -> str:
    """Return what was done again, in the history's words."""
    return store.redo(at=at, who=who)
