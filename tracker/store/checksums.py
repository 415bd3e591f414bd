"""Checksums: one a row, and a digest of the closed file beside it.

SQLite has no checksums of its own. CRC-32 finds every change of up to 32 neighbouring bits.
Left out are the row's number and the swimmer's label: those stand in an index a second time,
and a label changes in many rows at once.

Rows carry checksums and SQLite checks its own pages, but unused space has no checksum, and SQLite
leaves odd bytes there itself. A digest is there only while it holds: a writer removes it
inside its transaction, and closing without one writes a new one, while no other
can write. So one that is there and does not fit means that something else changed the file.
"""

from __future__ import annotations

import datetime as dt
import os
import sqlite3
from collections.abc import Iterable, Iterator, Mapping
from contextlib import closing, contextmanager, suppress
from functools import cache
from hashlib import file_digest
from io import BufferedReader
from pathlib import Path
from typing import Any
from zlib import crc32

from sqlalchemy import Table

from tracker.errors import SlackwaterError

_PLAIN = frozenset({str, int, float, type(None), bytes})
_OUTSIDE = frozenset({"id", "seal"})


@cache
def checksum_columns(table: Table) -> tuple[str, ...]:
    """Return the columns that a row's checksum covers, in their order in it."""
    return checksummed(table.name, [column.name for column in table.columns])


def checksummed(table: str, columns: Iterable[str]) -> tuple[str, ...]:
    """Return which of a table's columns a row's checksum covers, in their order in it."""
    outside = _OUTSIDE if table == "swimmer" else _OUTSIDE | {"swimmer"}
    return tuple(sorted(set(columns) - outside))


def checksum_of(values: Iterable[Any]) -> int:
    """Return the checksum of values in the order of `checksum_columns`; dates count as ISO text.

    It fits four bytes with a sign, the smallest whole number of every database.
    """
    plain = [value if type(value) in _PLAIN else _plain(value) for value in values]
    return crc32(repr(plain).encode("utf-8", "surrogatepass")) - 2**31


def with_checksum(table: Table, row: Mapping[str, Any]) -> dict[str, Any]:
    """Return a full row (`id` may be missing) with its checksum in `seal`."""
    return {**row, "seal": checksum_of(row[name] for name in checksum_columns(table))}


def _plain(value: Any) -> Any:  # noqa: ANN401 - a column's value
    if isinstance(value, str):  # a word of an enum counts as its text
        return str(value)
    return value.isoformat() if isinstance(value, dt.date) else value


LARGEST = 256_000_000
"""Bytes; a larger file gets its digest from a full check alone: closing takes 1 ms a MB, 2.4 on a processor
without SHA-256 of its own (measured)."""


def digest_beside(file: Path) -> Path:
    """Return where the digest of a database file lies: beside the file itself, not beside a link to it."""
    return Path(f"{file.resolve()}-digest")


def has_digest(file: Path) -> bool:
    """Return whether a digest lies beside the file."""
    return digest_beside(file).exists()


def remove_digest(file: Path) -> None:
    """Take the digest away, for good even if the power goes: the file is about to change.

    Raises
    ------
    SlackwaterError
        If it cannot be taken away: a digest that no longer fits would raise a false alarm.
    """
    path = digest_beside(file)
    try:
        path.unlink()
    except FileNotFoundError:
        return
    except OSError as error:
        raise SlackwaterError(f"cannot remove {path}: {error.strerror}; nothing was changed") from None
    with suppress(OSError):  # some network shares do not flush folders
        folder = os.open(path.parent, os.O_RDONLY)
        try:
            os.fsync(folder)
        finally:
            os.close(folder)


@contextmanager
def without_digest(file: Path) -> Iterator[None]:
    """Take the digest away around what changes the file and cannot be put inside our transaction.

    Afterwards too: another process that closed just before the change left one of the file as it was.
    """
    remove_digest(file)
    try:
        yield
    finally:
        remove_digest(file)


def write_digest(file: Path, *, largest: int | None = LARGEST) -> None:
    """Put the digest beside the file, if nobody else is at work in it; without one, nothing is lost.

    The write-ahead log is emptied into the file first. Then the right to write is held while
    reading: with an empty log and no writer the file stays as it is. No store of this process may
    have the file open: closing a file drops a process's locks on it (POSIX), so it is closed last.
    """
    file = file.resolve()  # beside which SQLite keeps its log
    with suppress(OSError, sqlite3.Error), file.open("rb") as stream:
        if largest is not None and file.stat().st_size > largest:
            return
        with closing(sqlite3.connect(file, isolation_level=None, timeout=0)) as connection:
            if connection.execute("PRAGMA wal_checkpoint(TRUNCATE)").fetchone()[0]:
                return
            connection.execute("BEGIN IMMEDIATE")
            log = Path(f"{file}-wal")
            if not (log.exists() and log.stat().st_size):
                _write(digest_beside(file), _digest(stream))
            connection.execute("ROLLBACK")


def matches_digest(file: Path) -> bool | None:
    """Return whether the file is byte for byte as it was left; None if that is not known.

    Raises
    ------
    OSError
        If the file cannot be read to its end.
    """
    before = _stored_digest(file)
    if before is None:
        return None
    with file.open("rb") as stream:
        found = _digest(stream)
    if _stored_digest(file) != before:  # somebody wrote meanwhile
        return None
    return found == before


def _stored_digest(file: Path) -> str | None:
    try:
        return digest_beside(file).read_text(encoding="ascii", errors="replace").strip()
    except OSError:
        return None


def _write(path: Path, digest: str) -> None:
    """Write whole or not at all: half a digest would raise a false alarm."""
    part = path.with_name(f"{path.name}.part")
    try:
        descriptor = os.open(part, os.O_CREAT | os.O_TRUNC | os.O_WRONLY, 0o600)
        with os.fdopen(descriptor, "w", encoding="ascii") as stream:
            stream.write(digest + "\n")
            os.fsync(stream.fileno())
        part.replace(path)
    except OSError:
        part.unlink(missing_ok=True)
        raise


def _digest(stream: BufferedReader) -> str:
    return file_digest(stream, "sha256").hexdigest()
