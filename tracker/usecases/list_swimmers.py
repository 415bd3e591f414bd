"""Who is on the roster."""

from __future__ import annotations

from tracker.records.swimmer import Swimmer
from tracker.store.database import Store


def list_swimmers(store: Store, *, group: str | None = None, archived: bool = False) -> list[Swimmer]:
    """Return the active swimmers in order of label, of one group if given; with `archived` all of them."""
    with store.read() as reader:
        people = [kept.record for kept in reader.all(Swimmer)]
    return [
        who
        for who in sorted(people, key=lambda who: who.swimmer)
        if (archived or who.archived is None) and group in {None, who.group}
    ]
