"""The fault catalogue with the coach's own entries."""

from __future__ import annotations

from tracker.records.catalogue import Fault, full_catalogue
from tracker.records.fault import OwnFault
from tracker.store.database import Store


def list_faults(store: Store | None) -> tuple[Fault, ...]:
    """Return the built-in faults, then the coach's own where there is a database."""
    if store is None:
        return full_catalogue()
    with store.read() as reader:
        return full_catalogue(kept.record for kept in reader.all(OwnFault))
