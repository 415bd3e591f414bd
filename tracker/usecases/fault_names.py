"""The plain names of all faults, the coach's own ones included."""

from __future__ import annotations

from tracker.records.catalogue import full_catalogue
from tracker.records.fault import OwnFault
from tracker.store.database import Store


def fault_names(store: Store) -> dict[str, str]:
    """Return short name -> plain name, in the catalogue's order."""
    with store.read() as reader:
        own = [kept.record for kept in reader.all(OwnFault)]
    return {fault.slug: fault.name for fault in full_catalogue(own)}
