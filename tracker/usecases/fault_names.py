"""The plain names of all faults, the coach's own ones included."""

from __future__ import annotations

from tracker.records.catalogue import full_catalogue
from tracker.records.fault import OwnFault
from tracker.store.database import Store
from tracker.store.reading import Reader


def fault_names(store: Store) -> dict[str, str]:
    """Return short name -> plain name, in the catalogue's order."""
    with store.read() as reader:
        return names_in(reader)


def names_in(reader: Reader) -> dict[str, str]:
    """Return the same out of one snapshot."""
    own = [kept.record for kept in reader.all(OwnFault)]
    return {fault.slug: fault.name for fault in full_catalogue(own)}
