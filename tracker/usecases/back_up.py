"""Back the database up while it is open; the copy is verified before it gets its name."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass
from pathlib import Path

from tracker.errors import UsageError
from tracker.store.copies import check_free, copy_file, dated_name, make_folder, rotate, sweep
from tracker.store.database import Store


@dataclass(frozen=True)
class BackedUp:
    """The copy, its rows, older copies that were removed, and whether the record knows of it."""

    path: Path
    rows: int
    removed: tuple[Path, ...]
    noted: bool


def back_up(
    store: Store,
    target: Path,
    *,
    at: dt.datetime,
    folder: bool = False,
    keep: int | None = None,
    force: bool = False,
) -> BackedUp:
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
    if store.file is None:
        raise UsageError("a server's database is backed up by its own tools (pg_dump); see the README")
    into_folder = folder or target.is_dir()
    if keep is not None and keep < 1:
        raise UsageError(f"--keep: {keep} is less than 1; at least the new copy stays")
    if keep is not None and not into_folder:
        raise UsageError(
            f"--keep goes with a folder of copies, and {target} is none; write {target}/ to have it made"
            if not target.exists()
            else f"--keep goes with a folder of copies, and {target} is a file; give another path"
        )
    if into_folder:
        make_folder(target)
    path = target / dated_name(at) if into_folder else target
    check_free(store.file, path, force=force or into_folder)
    with store.read() as reader:
        known = [made.place for made in reader.copies_made()]
    sweep(store.file, known)
    with store.noted_copy(path, "backup", at) as noted:
        copied = copy_file(store.file, path, force=force or into_folder)
    removed = rotate(target, keep) if keep is not None else []
    return BackedUp(path, sum(copied.rows.values()), tuple(removed), noted)
