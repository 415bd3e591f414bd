"""Bring a backup back in place of the present database."""

from __future__ import annotations

import datetime as dt
from pathlib import Path

from tracker.errors import BadFileError, UsageError
from tracker.store.engine import address_of, file_of
from tracker.store.restoring import Restored, restore_file


def restore(place: str | Path, copy: Path, *, at: dt.datetime) -> Restored:
    """Replace the database at a path by a copy; the database need not be fit to be opened.

    Raises
    ------
    UsageError
        If the database is on a server, or the copy is the database itself.
    BadFileError
        If the copy is none of ours, or damaged; then nothing has happened.
    BusyError
        If somebody is writing.
    """
    file = file_of(address_of(place))
    if file is None:
        raise UsageError("a server's database is restored by its own tools (pg_restore); see the README")
    if not copy.is_file():
        raise BadFileError(f"there is no file {copy}")
    if file.exists() and copy.samefile(file):
        raise UsageError(f"{copy} is the database itself; give a backup")
    return restore_file(copy, file, at=at)
