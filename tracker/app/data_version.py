"""Whether anybody changed the data."""

from __future__ import annotations

from tracker.store.database import Store


def data_version(store: Store) -> int:
    """Return a number that differs whenever something was committed, by whomever."""
    with store.read_facts() as facts:
        return facts.data_version()
