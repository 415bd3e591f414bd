"""What was changed, when and by whom."""

from __future__ import annotations

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
