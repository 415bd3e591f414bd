"""Do again what was undone last."""

from __future__ import annotations

import datetime as dt

from tracker.store.database import Store


def redo(store: Store, *, at: dt.datetime, who: str = "") -> str:
    """Return what was done again, in the history's words."""
    return store.redo(at=at, who=who)
