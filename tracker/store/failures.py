"""Translate errors of the database driver; find whether a file is on a network disk."""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from sqlalchemy.exc import DBAPIError, SQLAlchemyError

from tracker.errors import BadFileError, BusyError, SlackwaterError, UnwritableError, UsageError
from tracker.plugin_registry import load_plugin
from tracker.remedies import Mend

_NETWORK = frozenset(
    {"nfs", "nfs4", "cifs", "smb3", "smbfs", "9p", "afs", "ceph", "glusterfs", "lustre", "davfs", "ncpfs"}
)
_MOUNTS = Path("/proc/self/mountinfo")


def is_on_network(file: Path, mounts: Path = _MOUNTS) -> bool:
    """Return whether `file` lies on a network share, as far as the system tells (Linux only)."""
    try:
        lines = mounts.read_text(encoding="utf-8", errors="surrogateescape").splitlines()
    except OSError:
        return False
    there = file.absolute().resolve()
    best = (-1, "")
    for line in lines:
        before, _, after = line.partition(" - ")
        fields = before.split()
        if len(fields) < 5 or not after:
            continue
        point = Path(fields[4].replace("\\040", " "))
        if there.is_relative_to(point) and len(point.parts) >= best[0]:
            best = (len(point.parts), after.split()[0])
    kind = best[1]
    return kind in _NETWORK or (
        kind.startswith("fuse.") and kind in {"fuse.sshfs", "fuse.rclone", "fuse.s3fs"}
    )


_BUSY = {
    "SQLITE_BUSY",
    "SQLITE_LOCKED",
    "SQLITE_BUSY_SNAPSHOT",
    "SQLITE_BUSY_RECOVERY",
    "SQLITE_BUSY_TIMEOUT",
}
_DAMAGED = {"SQLITE_CORRUPT", "SQLITE_NOTADB", "SQLITE_SCHEMA", "SQLITE_FORMAT"}


def translate_error(error: BaseException, database: str) -> SlackwaterError:
    """Return our own error for one of the database driver's."""
    if type(error).__module__.partition(".")[0] == "psycopg":
        served: SlackwaterError = load_plugin("psycopg").translate_error(error, database)
        return served
    code = str(getattr(error, "sqlite_errorname", ""))
    root = code.split("_")[1] if code.count("_") > 1 else ""
    if is_busy(error):
        return BusyError(f"{database} is in use by another process; try again in a moment")
    if code in _DAMAGED or root in {"CORRUPT", "NOTADB"}:
        return damaged(database)
    if code in {"SQLITE_FULL", "SQLITE_IOERR_SHMSIZE"}:
        return UnwritableError(
            f"the disk of {database} is full; nothing was changed; make room and try again"
        )
    if code.startswith("SQLITE_IOERR"):
        return SlackwaterError(
            f"the disk of {database} reports an error; nothing was changed; check the disk"
        )
    if code.startswith(("SQLITE_READONLY", "SQLITE_PERM", "SQLITE_CANTOPEN")):
        return UnwritableError(f"{database} cannot be written; check its permissions and its folder's")
    if code.startswith("SQLITE_CONSTRAINT") or isinstance(error, sqlite3.IntegrityError):
        return UsageError(f"{database} refuses the entry: {_rule_broken(error)}")
    return SlackwaterError(f"{database}: the database reports {type(error).__name__}; nothing was changed")


def damaged(database: str) -> BadFileError:
    """Return the error for a file that cannot be read as a database."""
    return BadFileError(f"{database} is damaged or no database", Mend.CHECK_OR_RESTORE)


def is_busy(error: BaseException) -> bool:
    """Return whether SQLite only says that somebody else holds the file."""
    code = str(getattr(error, "sqlite_errorname", ""))
    return code in _BUSY or code.startswith("SQLITE_BUSY")


def _rule_broken(error: BaseException) -> str:
    """Return which rule was broken, in words; names of tables and columns only, no values."""
    text = str(error)
    if text.startswith("UNIQUE"):
        return f"{text.rpartition('.')[2]} is already there"
    if text.startswith("FOREIGN KEY"):
        return "it names a swimmer that is not there, or that still has records"
    if text.startswith("CHECK"):
        return f"{text.rpartition(' ')[2]} is out of range"
    return "it breaks a rule of the database"


@contextmanager
def translated_errors(database: str) -> Iterator[None]:
    """Turn the driver's errors into ours."""
    try:
        yield
    except DBAPIError as error:
        if error.connection_invalidated:
            lost = load_plugin("psycopg").connection_lost_error
            raise lost(database, at_end=error.statement is None) from None
        raise translate_error(error.orig or error, database) from None
    except sqlite3.Error as error:
        raise translate_error(error, database) from None
    except SQLAlchemyError as error:
        raise SlackwaterError(f"{database}: the database reports {type(error).__name__}") from None
