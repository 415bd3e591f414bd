"""Copies: back up and restore."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass
from pathlib import Path

from tracker.app.session import Session
from tracker.errors import BadFileError, EntryError, OptionError, Problem, UsageError
from tracker.store.copies import check_free, copy_file, dated_name, make_folder, remove_unfinished, rotate
from tracker.store.engine import address_of, file_of
from tracker.store.restoring import RestoreReport, restore_file


@dataclass(frozen=True)
class BackupReport:
    """The copy, its rows, older copies that were removed, and whether the record knows of it."""

    path: Path
    rows: int
    removed: tuple[Path, ...]
    noted: bool


def back_up(
    session: Session, target: Path, *, folder: bool = False, keep: int | None = None, force: bool = False
) -> BackupReport:
    """Copy the database to a file, or under a dated name into a folder.

    Parameters
    ----------
    folder
        Whether a folder is meant, which is made where it is missing; one that is there is known as such.
    keep
        In a folder: how many copies stay; older ones of our naming are removed.

    Raises
    ------
    UsageError
        If the file exists and `force` is not given, `keep` is asked for beside a file, or `folder` is one.
    SlackwaterError
        If the copy cannot be made, or is not what was copied.
    """
    if session.store.file is None:
        raise UsageError("a server's database is backed up by its own tools (pg_dump); see the README")
    into_folder = folder or target.is_dir()
    if keep is not None and keep < 1:
        said = f"{keep} is less than 1; at least the new copy stays"
        raise EntryError((Problem("keep", str(keep), said),))
    if keep is not None and not into_folder:
        raise OptionError(
            "keep",
            f"goes with a folder of copies, and {target} is none; write {target}/ to have it made"
            if not target.exists()
            else f"goes with a folder of copies, and {target} is a file; give another path",
        )
    if into_folder:
        make_folder(target)
    path = target / dated_name(session.now) if into_folder else target
    check_free(session.store.file, path, force=force or into_folder)
    with session.store.read() as reader:
        known = [made.place for made in reader.copies_made()]
    remove_unfinished(session.store.file, known)
    with session.store.noted_copy(path, "backup", session.now) as noted:
        copied = copy_file(session.store.file, path, force=force or into_folder)
    removed = rotate(target, keep) if keep is not None else []
    return BackupReport(path, sum(copied.rows.values()), tuple(removed), noted)


def restore(address: str | Path, copy: Path, *, at: dt.datetime) -> RestoreReport:
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
    file = file_of(address_of(address))
    if file is None:
        raise UsageError("a server's database is restored by its own tools (pg_restore); see the README")
    if not copy.is_file():
        raise BadFileError(f"there is no file {copy}")
    if file.exists() and copy.samefile(file):
        raise UsageError(f"{copy} is the database itself; give a backup")
    return restore_file(copy, file, at=at)
