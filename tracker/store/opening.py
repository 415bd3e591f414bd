"""Open a database file: to write where possible, else read-only, with the reason.

SQLite's write-ahead log wants a file for its index beside the database even to read, so on a full disk,
on one that is read-only or in a folder of somebody else's a sound file would not open. Then nobody can have
it open through this place either, and it is read as it stands: alone, if its log is empty, or together with
its log, whose index is then kept in memory. Reading takes no lock there. So what was read counts only
where file and log did not change meanwhile (`still_as_opened`): they may through another mount.
"""

from __future__ import annotations

import os
import sqlite3
from collections.abc import Callable
from contextlib import closing
from dataclasses import dataclass
from functools import partial
from pathlib import Path
from typing import Any

from tracker.errors import BusyError, SlackwaterError, UnwritableError

BUSY_TIMEOUT_S = 5.0
"""How long opening waits for another process."""
_ROOM = 65_536
"""Bytes that an index of the log needs to begin with; a disk with less is full."""
_ALONE = "mode=ro&immutable=1"
_WITH_ITS_LOG = "mode=ro&vfs=unix-none"
"""Without locks; and with its own lock for ever, SQLite keeps the log's index in memory."""
_WRITE_REFUSED = ("SQLITE_FULL", "SQLITE_IOERR", "SQLITE_READONLY", "SQLITE_PERM", "SQLITE_CANTOPEN")


@dataclass(frozen=True)
class ReadOnlyReason:
    """Why a file cannot be written, and how to mend it."""

    cause: str
    mend: str


_FULL = ReadOnlyReason("its disk is full", "make room and try again")
_READ_ONLY = ReadOnlyReason("its disk is read-only", "copy it to one that can be written")
_NOT_THE_FILE = ReadOnlyReason("you may not write it", "check its permissions")
_NOT_THE_FOLDER = ReadOnlyReason("you may not write in its folder", "check the folder's permissions")
_FAULTY = ReadOnlyReason("its disk reports an error", "check the disk")

_Stamp = tuple[tuple[int, int, int] | None, ...]


class FileConnection(sqlite3.Connection):
    """A connection that knows whether it can write.

    Attributes
    ----------
    read_only_reason
        Why not; None if it can.
    stamp
        Size, time and number of the file and its log when they were opened without locks.
    """

    read_only_reason: ReadOnlyReason | None = None
    stamp: _Stamp | None = None


def open_file(
    file: Path,
    prepare: Callable[[FileConnection], None] | None = None,
    *,
    isolation_level: str | None = None,
    timeout: float = BUSY_TIMEOUT_S,
    one_thread: bool = True,
    create: bool = False,
) -> FileConnection:
    """Open a database file that is there, if need be to read alone.

    Parameters
    ----------
    prepare
        Done to each connection tried; what fails in it for want of a disk to write counts, too.
    create
        Whether to make a file that is not there.

    Raises
    ------
    sqlite3.Error
        If it is damaged, or somebody else holds it.
    SlackwaterError
        If it cannot be written and holds half a change, which has to be taken back first.
    """
    tried = partial(
        _opened, file, prepare, isolation_level=isolation_level, timeout=timeout, check_same_thread=one_thread
    )
    read_only_reason = _forbidden(file)
    if read_only_reason is None:
        try:
            return tried("mode=rwc" if create else "mode=rw", None)
        except sqlite3.Error as error:
            if not is_write_refused(error):
                raise
            read_only_reason = _met(file, error)
    try:
        return tried("mode=ro", read_only_reason)
    except sqlite3.Error as error:
        if not is_write_refused(error):
            raise
    stamp = _stamp(file)
    if _size(file, "-journal"):
        raise SlackwaterError(
            f"{file} holds half a change, which has to be taken back before it is read, and "
            f"{read_only_reason.cause}; {read_only_reason.mend}"
        )
    return tried(_WITH_ITS_LOG if _size(file, "-wal") else _ALONE, read_only_reason, stamp)


def _opened(
    file: Path,
    prepare: Callable[[FileConnection], None] | None,
    rest: str,
    read_only_reason: ReadOnlyReason | None,
    stamp: _Stamp | None = None,
    **options: Any,  # noqa: ANN401 - the driver's own
) -> FileConnection:
    """Open a file in one of the ways, and read its header."""
    address = f"{file.resolve().as_uri()}?{rest}"
    connection = sqlite3.connect(address, uri=True, factory=FileConnection, **options)
    try:
        connection.read_only_reason, connection.stamp = read_only_reason, stamp
        if rest == _WITH_ITS_LOG:
            connection.execute("PRAGMA locking_mode = EXCLUSIVE")
        connection.execute("PRAGMA schema_version").fetchone()
        if prepare is not None:
            prepare(connection)
    except BaseException:
        connection.close()
        raise
    return connection


def find_read_only_reason(file: Path) -> ReadOnlyReason | None:
    """Return why a file that is there cannot be written; None if it can, or if that is unknown now."""
    try:
        with closing(open_file(file)) as connection:
            return connection.read_only_reason
    except (sqlite3.Error, SlackwaterError):
        return None


def refuse_to_write(connection: object, file: Path) -> None:
    """Refuse a change through a connection that can only read.

    Raises
    ------
    UnwritableError
        If it is one.
    """
    read_only_reason = getattr(connection, "read_only_reason", None)
    if read_only_reason is not None:
        raise UnwritableError(
            f"{file} cannot be written: {read_only_reason.cause}; nothing was changed; "
            f"{read_only_reason.mend}"
        )


def still_as_opened(connection: object, file: Path) -> None:
    """Refuse what was read without locks from a file that changed meanwhile.

    Raises
    ------
    BusyError
        If it did.
    """
    stamp = getattr(connection, "stamp", None)
    if stamp is not None and stamp != _stamp(file):
        raise BusyError(f"{file} was changed by another process while it was read; try again")


def read_only_remark(file: Path, read_only_reason: ReadOnlyReason) -> str:
    """Return what a person should know about a record that can only be read, in one line."""
    return f"the record {file} is read-only: {read_only_reason.cause}; to change it, {read_only_reason.mend}"


def is_write_refused(error: sqlite3.Error) -> bool:
    """Return whether SQLite only says that it cannot write, or not read for want of writing."""
    return str(getattr(error, "sqlite_errorname", "")).startswith(_WRITE_REFUSED)


def _forbidden(file: Path) -> ReadOnlyReason | None:
    """Return what the system says beforehand; it says nothing to root, who may write anywhere."""
    folder = file.resolve().parent
    try:
        if os.statvfs(folder).f_flag & os.ST_RDONLY:
            return _READ_ONLY
    except OSError:
        return None
    if file.exists() and not os.access(file, os.W_OK):
        return _NOT_THE_FILE
    return None if os.access(folder, os.W_OK) else _NOT_THE_FOLDER


def _met(file: Path, error: sqlite3.Error) -> ReadOnlyReason:
    """Return what an error met on the way means."""
    name = str(getattr(error, "sqlite_errorname", ""))
    room = os.statvfs(file.resolve().parent)
    if name in {"SQLITE_FULL", "SQLITE_IOERR_SHMSIZE"} or room.f_bavail * room.f_frsize < _ROOM:
        return _FULL
    return _FAULTY if name.startswith("SQLITE_IOERR") else _NOT_THE_FOLDER


def _stamp(file: Path) -> _Stamp:
    return tuple(_of(Path(f"{file.resolve()}{ending}")) for ending in ("", "-wal", "-journal"))


def _of(path: Path) -> tuple[int, int, int] | None:
    try:
        found = path.stat()
    except OSError:
        return None
    return (found.st_size, found.st_mtime_ns, found.st_ino)


def _size(file: Path, ending: str) -> int:
    found = _of(Path(f"{file.resolve()}{ending}"))
    return found[0] if found else 0
