"""Copies of the database file: taken while it is open, verified by reading them back, rotated."""

from __future__ import annotations

import datetime as dt
import os
import sqlite3
from collections.abc import Mapping
from contextlib import closing, suppress
from dataclasses import dataclass
from hashlib import sha256
from pathlib import Path

from tracker.errors import BadFileError, SlackwaterError, UsageError
from tracker.store import engine as db
from tracker.store.tables import METADATA
from tracker.store.trouble import speaking_of

NAME = "slackwater-{at:%Y%m%d-%H%M%S}.db"
_PATTERN = "slackwater-[0-9]*-[0-9]*.db"


@dataclass(frozen=True)
class Copied:
    """A verified copy: where, table -> rows, and the hash of all content."""

    path: Path
    rows: Mapping[str, int]
    content: str


def content_of(connection: sqlite3.Connection) -> tuple[dict[str, int], str]:
    """Return rows by table, and a hash of every row of every table that the file has.

    One of an earlier version may lack some.
    """
    rows: dict[str, int] = {}
    digest = sha256()
    there = {row[0] for row in connection.execute("SELECT name FROM sqlite_master WHERE type = 'table'")}
    for name in sorted(there & METADATA.tables.keys()):
        rows[name] = 0
        digest.update(name.encode())
        for row in connection.execute(f'SELECT * FROM "{name}" ORDER BY id'):  # noqa: S608 - own names
            digest.update(repr(row).encode("utf-8", "surrogatepass"))
            rows[name] += 1
    return rows, digest.hexdigest()


def copy_file(source: Path, target: Path, *, force: bool = False) -> Copied:
    """Copy an open database to `target`, whole or not at all, and verify the copy.

    What is copied is one moment, however many write meanwhile. The copy is opened, checked and
    compared with what was copied before it gets its name.

    Raises
    ------
    UsageError
        If `target` exists and `force` is not given, or is the database itself.
    SlackwaterError
        If it cannot be written, or the copy is not what was copied.
    """
    if target.exists() and source.exists() and target.samefile(source):
        raise UsageError(f"{target} is the database itself; give another path")
    if target.exists() and not force:
        raise UsageError(f"{target} exists already; --force replaces it")
    part = target.with_name(f".{target.name[:80]}.part")
    with suppress(OSError):
        part.unlink(missing_ok=True)
    db.make_private_file(part)
    try:
        with speaking_of(str(source)):
            wanted = _copy(source, part)
        try:
            with speaking_of(str(target)):
                _compare(verified(part), wanted, target)
        except BadFileError as bad:
            raise BadFileError(
                f"{source}, or the disk of its copy, is damaged; no copy was kept; run 'slackwater check'"
            ) from bad
        _put_in_place(part, target)
    except BaseException:
        for name in (part, part.with_name(f"{part.name}-journal")):
            with suppress(OSError):
                name.unlink(missing_ok=True)
        raise
    return Copied(target, *wanted)


def _copy(source: Path, part: Path) -> tuple[dict[str, int], str]:
    """Copy one snapshot; return its content."""
    with (
        closing(sqlite3.connect(source, isolation_level=None, timeout=5)) as origin,
        closing(sqlite3.connect(part, isolation_level=None)) as copy,
    ):
        origin.execute("BEGIN")
        wanted = content_of(origin)
        origin.backup(copy)
        origin.execute("COMMIT")
        copy.execute("PRAGMA journal_mode = DELETE")  # one file, complete in itself
    return wanted


def verified(file: Path) -> tuple[dict[str, int], str]:
    """Return the content of a copy after a full check of its integrity and keys.

    Raises
    ------
    BadFileError
        If it is damaged.
    """
    with closing(sqlite3.connect(file)) as connection:
        connection.execute("PRAGMA trusted_schema = OFF")
        said = [row[0] for row in connection.execute("PRAGMA integrity_check(5)")]
        if said != ["ok"] or connection.execute("PRAGMA foreign_key_check").fetchone():
            raise BadFileError(f"{file.name} is damaged: {said[0]}")
        return content_of(connection)


def _compare(found: object, wanted: object, target: Path) -> None:
    if found != wanted:
        raise SlackwaterError(f"the copy {target} differs from the database; check the disk")


def _put_in_place(part: Path, target: Path) -> None:
    try:
        with part.open("rb+") as stream:
            os.fsync(stream.fileno())
        part.replace(target)
        descriptor = os.open(target.parent, os.O_RDONLY)
        try:
            os.fsync(descriptor)
        finally:
            os.close(descriptor)
    except OSError as error:
        raise SlackwaterError(f"cannot write {target}: {error.strerror}") from None


def make_folder(folder: Path) -> None:
    """Make a folder of copies and what is missing above it, for their owner only.

    Raises
    ------
    UsageError
        If a file of that name is there.
    SlackwaterError
        If it cannot be made.
    """
    try:
        db.make_private_folder(folder)
    except OSError as error:
        raise SlackwaterError(f"cannot create the folder {folder}: {error.strerror}") from None
    if not folder.is_dir():
        raise UsageError(f"{folder} is a file, and a folder is asked for; give another path")


def rotate(folder: Path, keep: int) -> list[Path]:
    """Remove all but the `keep` latest copies that carry our name in a folder; return those removed."""
    copies = sorted(folder.glob(_PATTERN))
    gone = copies[: max(0, len(copies) - keep)]
    for copy in gone:
        copy.unlink(missing_ok=True)
    return gone


def dated_name(at: dt.datetime) -> str:
    """Return the name of a copy made now in a folder of copies."""
    return NAME.format(at=at)
