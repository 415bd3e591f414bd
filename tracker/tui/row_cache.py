"""The rows of the roster as they were last shown, kept so that the next start has them at once.

A row is used again only where everything it rests on is the same (`app.scan_cache`).
"""

from __future__ import annotations

import json
import os
from collections.abc import Mapping
from dataclasses import astuple
from hashlib import sha256
from pathlib import Path

from tracker.output.whole_files import private_folder
from tracker.tui.drawing.roster_rows import RosterRow

FORM = 1
"""Raised whenever the rows change their form."""
CachedRow = tuple[str, RosterRow]
"""What a row rests on, and the row."""


class RowCache:
    """One file a database in `folder`, readable by its owner only; without a folder nothing is kept."""

    def __init__(self, folder: Path | None, address: str) -> None:
        self._path = folder / f"roster-{sha256(address.encode()).hexdigest()[:16]}.json" if folder else None

    def load(self) -> dict[str, CachedRow]:
        """Return the rows by swimmer; none where there is no file, or one of another form."""
        if self._path is None:
            return {}
        try:
            found = json.loads(self._path.read_text(encoding="utf-8"))
            if found["form"] != FORM:
                return {}
            return {values[0]: (rests_on, _row(values)) for rests_on, values in found["rows"]}
        except (OSError, ValueError, LookupError, TypeError):
            return {}

    def keep(self, rows: Mapping[str, CachedRow]) -> None:
        """Write them; the old file stays until the new one is complete."""
        if self._path is None:
            return
        private_folder(self._path.parent)
        part = self._path.with_suffix(".part")
        handle = os.open(part, os.O_WRONLY | os.O_CREAT | os.O_TRUNC, 0o600)
        with os.fdopen(handle, "w", encoding="utf-8") as file:
            json.dump(
                {"form": FORM, "rows": [(rests_on, astuple(row)) for rests_on, row in rows.values()]}, file
            )
        part.replace(self._path)


def _row(values: list[object]) -> RosterRow:
    swimmer, group, word, new, rank, grounds, narrow, wide = values
    if not isinstance(rank, list) or not isinstance(new, bool):
        raise TypeError
    order = (int(rank[0]), int(rank[1]))
    texts = (_texts(grounds), _texts(narrow), _texts(wide))
    return RosterRow(str(swimmer), str(group), str(word), new, order, *texts)


def _texts(values: object) -> tuple[str, ...]:
    if not isinstance(values, list):
        raise TypeError
    return tuple(map(str, values))
