"""Facts worked out from the whole roster and kept in the database; on a server also for those who see a part.

A coach who sees only some groups goes by what somebody learned who sees everything, or two coaches
would read two verdicts on one swimmer. Only where nobody has, they learn from what they see, and keep it
for themselves. What is kept names nobody.
"""

from __future__ import annotations

import json
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from tracker.store.reading import Reader

LEARNING = 4
"""Raised whenever learning changes, so that nothing learned by an older way is used."""
WEIGHING = 2
"""Raised whenever the weighing changes, so that nothing weighed by an older way is used."""


def kept_fact(reader: Reader, name: str, basis: str) -> dict[str, Any] | None:
    """Return the fact of that name if it rests on this basis; None if it must be worked out.

    Parameters
    ----------
    basis
        A JSON list that ends with the prints of the data; those of hidden data can't be compared.
    """
    found = _read(reader, name)
    if reader.sees_everything:
        return found if found is not None and found["basis"] == basis else None
    if found is not None and json.loads(found["basis"])[:-1] == json.loads(basis)[:-1]:
        return found
    own = _read(reader, name_to_keep(reader, name))
    return own if own is not None and own["basis"] == basis else None


def name_to_keep(reader: Reader, name: str) -> str:
    """Return under which name this reader keeps a fact."""
    return name if reader.sees_everything else f"{name} for {reader.login}"


def _read(reader: Reader, name: str) -> dict[str, Any] | None:
    kept = reader.fact(name)
    return None if kept is None else json.loads(kept)
