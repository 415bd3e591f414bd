"""Take the last change back."""

from __future__ import annotations

import datetime as dt

from tracker.store.database import Store


def undo(store: Store, *, at: dt.datetime, who: str = "") -> str:
    """Return what was undone, in the history's words."""
    return store.undo(at=at, who=who)
