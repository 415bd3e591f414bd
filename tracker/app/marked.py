"""Export several swimmers, a folder for each."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from tracker.app.export_swimmer import PersonExport, export_swimmer
from tracker.app.session import Session
from tracker.output.pages.file_names import slug
from tracker.remedies import NO_SHELL, Wording


def export_several(
    session: Session, names: Sequence[str], folder: Path, *, wording: Wording = NO_SHELL
) -> tuple[PersonExport, ...]:
    """Write a folder of each person, under one; health stays out.

    Raises
    ------
    UsageError
        If a file is there already; the folders before it stay.
    SlackwaterError
        If a file cannot be written.
    """
    taken: dict[str, int] = {}
    found = []
    for name in names:
        stem = slug(name) or "swimmer"
        taken[stem] = taken.get(stem, 0) + 1
        place = folder / (stem if taken[stem] == 1 else f"{stem}-{taken[stem]}")
        found.append(export_swimmer(session, name, place, wording=wording))
    return tuple(found)
