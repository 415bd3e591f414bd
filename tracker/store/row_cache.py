"""Rows of text in the user's cache, each under a fingerprint of its inputs.

One SQLite file a database, readable by its owner only, for one program: another one empties it. Losing it
costs time alone, so a file that SQLite cannot read is replaced, and a row that is not as it was
written (CRC-32) is no row. SQLite keeps it whole through a kill and with two scans at once.
"""

from __future__ import annotations

import json
import sqlite3
from collections.abc import Callable, Iterable, Iterator, Mapping
from contextlib import closing, contextmanager, suppress
from hashlib import sha256
from pathlib import Path
from zlib import crc32

from tracker.errors import SlackwaterError
from tracker.remedies import Mend
from tracker.store.engine import make_private_file
from tracker.store.failures import is_busy
from tracker.store.opening import is_write_refused

Row = tuple[str, str, str]
"""Whose it is, what it rests on, and its content."""

_TABLE = """
CREATE TABLE IF NOT EXISTS kept (
    kind TEXT, key TEXT, fingerprint TEXT, content TEXT, crc INTEGER, PRIMARY KEY (kind, key, fingerprint)
) STRICT
"""
_WANTED = "(SELECT key, value FROM json_each(?))"


class RowCache:
    """The cached rows of one database.

    Parameters
    ----------
    folder
        The user's cache folder; made if need be.
    database
        The database's name.
    program
        Hexadecimal digits that change whenever the program does.
    """

    def __init__(self, folder: Path, database: str, program: str) -> None:
        self.file = folder / f"rows-{sha256(database.encode()).hexdigest()[:16]}.db"
        self._program = int(program, 16) % 0x7FFFFFFF + 1  # a new file has 0

    def load(self, kind: str, fingerprints: Mapping[str, str] | None = None) -> Iterator[Row]:
        """Yield the rows of a kind, oldest first; or those under these fingerprints, if given."""
        query = "SELECT key, fingerprint, content, crc FROM kept WHERE kind = ? "
        values = [kind]
        if fingerprints is None:
            query += "ORDER BY rowid"
        else:
            query += f"AND (key, fingerprint) IN {_WANTED}"
            values.append(json.dumps(dict(fingerprints)))
        if not self.file.exists():
            return
        with suppress(SlackwaterError), self._unless_damaged(), closing(self._connect()) as connection:
            for *row, crc in connection.execute(query, values):
                if crc == _crc(row):
                    yield (row[0], row[1], row[2])

    def add(self, kind: str, rows: Iterable[Row]) -> None:
        """Add rows; they are on the disk when this returns."""
        values = [(kind, *row, _crc(row)) for row in rows]
        self._write(
            lambda cache: cache.executemany("INSERT OR REPLACE INTO kept VALUES (?, ?, ?, ?, ?)", values)
        )

    def prune(self, kind: str, fingerprints: Mapping[str, str], *, spare: int = 0) -> None:
        """Take away what is under other fingerprints, if there are more than `spare` rows of it."""
        query = (
            f"DELETE FROM kept WHERE kind = ? AND (key, fingerprint) NOT IN {_WANTED} "  # noqa: S608
            "AND (SELECT count(*) FROM kept WHERE kind = ?) > ?"
        )
        values = (kind, json.dumps(dict(fingerprints)), kind, len(fingerprints) + spare)
        self._write(lambda cache: cache.execute(query, values))

    def _connect(self) -> sqlite3.Connection:
        connection = sqlite3.connect(self.file, isolation_level=None)
        connection.text_factory = _text
        try:
            connection.executescript("PRAGMA secure_delete = ON; PRAGMA synchronous = NORMAL")
            if connection.execute("PRAGMA user_version").fetchone()[0] != self._program:
                connection.execute("BEGIN IMMEDIATE")
                connection.execute("DROP TABLE IF EXISTS kept")
                connection.execute(_TABLE)
                connection.execute(f"PRAGMA user_version = {self._program}")
                connection.execute("COMMIT")
        except BaseException:
            connection.close()
            raise
        return connection

    def _write(self, change: Callable[[sqlite3.Connection], object]) -> None:
        """Make one change whole; where the disk is full or read-only, the rows cached before still hold."""
        make_private_file(self.file)
        with self._unless_damaged(), closing(self._connect()) as connection:
            connection.execute("BEGIN IMMEDIATE")
            change(connection)
            connection.execute("COMMIT")

    @contextmanager
    def _unless_damaged(self) -> Iterator[None]:
        """Remove a file that SQLite cannot read: the next change makes a new one."""
        try:
            yield
        except (sqlite3.Error, UnicodeDecodeError) as error:  # words of a damaged definition are no text
            if is_busy(error):
                return  # another scan writes; what is not kept is worked out again
            if isinstance(error, sqlite3.Error) and is_write_refused(error):
                raise SlackwaterError(
                    f"cannot keep lines in {self.file.parent}: {error}; make room there", Mend.SCAN_ANEW
                ) from None
            self.file.unlink(missing_ok=True)


def _crc(row: Iterable[str]) -> int:
    return crc32("\0".join(map(str, row)).encode())


def _text(raw: bytes) -> str:
    """Return a text also where damage has made it none: its CRC will not fit."""
    return raw.decode("utf-8", "replace")
