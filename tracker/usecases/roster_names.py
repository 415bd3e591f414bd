"""Labels and groups of the active swimmers, quickly."""

from __future__ import annotations

from tracker.records.swimmer import Swimmer
from tracker.store.database import Store


def roster_names(store: Store) -> list[tuple[str, str]]:
    """Return (label, group) in order of label."""
    with store.read() as reader:
        found = reader.columns(Swimmer, ("swimmer", "group"))
    return list(zip(found["swimmer"].tolist(), found["group"].tolist(), strict=True))
