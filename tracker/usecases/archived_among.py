"""Who of some swimmers is archived: an entry for them is taken, and said to be for somebody put away."""

from __future__ import annotations

from collections.abc import Iterable

from tracker.records.swimmer import Swimmer
from tracker.store.database import Store


def archived_among(store: Store, names: Iterable[str]) -> list[Swimmer]:
    """Return those of the named swimmers who are archived, each once, in the order of the names.

    Raises
    ------
    UnknownNameError
        If nobody is called so.
    """
    with store.read() as reader:
        people = [reader.swimmer(name).record for name in dict.fromkeys(names)]
    return [who for who in people if who.archived is not None]
