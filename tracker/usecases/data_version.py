"""Whether anybody changed the data since it was read last."""

from __future__ import annotations

from tracker.store.database import Store


def data_version(store: Store) -> int:
    """Return a number that differs whenever something was committed, by whomever."""
    with store.glance() as glance:
        return glance.data_version()
