"""Back up the database file: while it is open, verified by reading back, rotated."""

from __future__ import annotations

import datetime as dt
import fcntl
import glob
import os
import sqlite3
from collections.abc import Iterable, Iterator, Mapping
from contextlib import closing, contextmanager, suppress
from dataclasses import dataclass
from hashlib import sha256
from pathlib import Path

from tracker.errors import BadFileError, BusyError, SlackwaterError, UsageError
from tracker.remedies import Mend
from tracker.store import engine as db
from tracker.store.failures import translate_error, translated_errors
from tracker.store.opening import is_write_refused, open_file, still_as_opened
from tracker.store.tables import METADATA

NAME = "slackwater-{at:%Y%m%d-%H%M%S}.db"
_ENDINGS = ("", "-wal", "-shm", "-journal", "-digest")
_PATTERN = "slackwater-[0-9]*-[0-9]*.db"


@dataclass(frozen=True)
class VerifiedCopy:
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


def check_free(source: Path, target: Path, *, force: bool) -> None:
    """Refuse a place for a copy that is taken.

    Raises
    ------
    UsageError
        If `target` exists and `force` is not given, or is the database itself.
    """
    if target.exists() and source.exists() and target.samefile(source):
        raise UsageError(f"{target} is the database itself; give another path")
    if target.exists() and not force:
        raise UsageError(f"{target} exists already", Mend.REPLACE)


def copy_file(source: Path, target: Path, *, force: bool = False) -> VerifiedCopy:
    """Copy an open database to `target`, whole or not at all, and verify the copy.

    What is copied is one moment, however many write meanwhile. The copy is opened, checked and
    compared with what was copied before it gets its name.

    Raises
    ------
    UsageError
        As `check_free` does.
    SlackwaterError
        If it cannot be written, or the copy is not what was copied.
    """
    check_free(source, target, force=force)
    part = partial_path(target)
    if is_being_written(part):
        raise BusyError(f"another process is making {target} just now; try again in a moment")
    remove_copy(part)
    db.make_private_file(part)
    with being_written(part):
        return _partial_copy(source, target, part)


def _partial_copy(source: Path, target: Path, part: Path) -> VerifiedCopy:
    try:
        with translated_errors(str(source)):
            wanted = _copy(source, part, target)
        try:
            with translated_errors(str(target)):
                _compare(verified(part), wanted, target)
        except BadFileError as bad:
            raise BadFileError(
                f"{source}, or the disk of its copy, is damaged; no copy was kept", Mend.CHECK
            ) from bad
        _put_in_place(part, target)
    except BaseException:
        remove_copy(part)
        raise
    return VerifiedCopy(target, *wanted)


def partial_path(target: Path) -> Path:
    """Return the file in which a copy is made before it gets its name."""
    return target.with_name(f".{target.name[:80]}.part")


def staging_path(file: Path) -> Path:
    """Return the file beside a database in which a restore gets a copy ready."""
    return file.with_name(f".{file.name[:80]}.restoring")


def remove_copy(path: Path) -> None:
    """Remove a file of ours that is no whole copy, and what SQLite left beside it; never fails."""
    for ending in _ENDINGS:
        with suppress(OSError):
            Path(f"{path}{ending}").unlink(missing_ok=True)


@contextmanager
def being_written(path: Path) -> Iterator[None]:
    """Let others see that a file is being written; whatever ends this process ends that, too.

    Close every connection to it inside: to close a file drops the locks that SQLite holds on it.
    """
    descriptor = os.open(path, os.O_RDWR)
    try:
        fcntl.flock(descriptor, fcntl.LOCK_SH)
        if not os.fstat(descriptor).st_nlink:  # somebody took it for a left one, a moment ago
            raise BusyError(f"another process removed {path}; try again")
        yield
    finally:
        os.close(descriptor)


def is_being_written(path: Path) -> bool:
    """Return whether some process is at work in a file."""
    try:
        descriptor = os.open(path, os.O_RDWR)
    except OSError:
        return False
    try:
        fcntl.flock(descriptor, fcntl.LOCK_EX | fcntl.LOCK_NB)
    except OSError:
        return True
    finally:
        os.close(descriptor)
    return False


def unfinished(file: Path, places: Iterable[str]) -> list[Path]:
    """Return the copies of a database that were begun and have no name yet, or never will.

    Parameters
    ----------
    file
        The database; a restore works beside it.
    places
        Where the database knows copies of it.
    """
    stage = staging_path(file)
    aside = file.parent.glob(f".{glob.escape(file.stem)}-before-*.db.part")
    paths = {stage, partial_path(stage), *aside, *(partial_path(Path(place)) for place in places)}
    return [path for path in sorted(paths) if any(Path(f"{path}{end}").exists() for end in _ENDINGS)]


def remove_unfinished(file: Path, places: Iterable[str]) -> list[Path]:
    """Remove the copies that were begun and that nobody is making any more; return those left."""
    for path in unfinished(file, places):
        if not is_being_written(path):
            remove_copy(path)
    return unfinished(file, places)


def _copy(source: Path, part: Path, target: Path) -> tuple[dict[str, int], str]:
    """Copy one snapshot; return its content."""
    with (
        closing(open_file(source)) as origin,
        closing(sqlite3.connect(part, isolation_level=None)) as copy,
    ):
        origin.execute("BEGIN")
        wanted = content_of(origin)
        try:
            origin.backup(copy)
        except sqlite3.Error as error:
            raise translate_error(error, str(target if is_write_refused(error) else source)) from None
        origin.execute("COMMIT")
        still_as_opened(origin, source)
        with translated_errors(str(target)):
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
