"""List the coaches of a club on a server, and what each sees."""

from __future__ import annotations

from tracker.store.database import Store
from tracker.store.sharing import Coach, coaches


def list_coaches(store: Store) -> list[Coach]:
    """Return the coaches by login.

    Raises
    ------
    UsageError
        If the database is a file, which has no logins.
    """
    with store.read() as reader:
        return coaches(reader.connection)
