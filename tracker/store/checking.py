"""Check a database: quickly at the start, in full on demand; mend what is safe to mend.

Found quickly: a broken page, a table or rule that is not as we made it, a file that others can
read. Found in full: an index that lacks a row, a key without its swimmer, a row whose checksum does
not fit, a record that its own rule would refuse, a file that something else has changed.
"""

from __future__ import annotations

import datetime as dt
import sqlite3
from collections.abc import Iterator
from contextlib import closing, suppress
from dataclasses import dataclass
from pathlib import Path

from pydantic import ValidationError

from tracker.model.vocabularies import DamagedPart
from tracker.store import engine as db
from tracker.store.checksums import (
    checksum_of,
    checksummed,
    digest_beside,
    matches_digest,
    remove_digest,
    write_digest,
)
from tracker.store.failures import is_busy, translate_error
from tracker.store.migrating import revision
from tracker.store.opening import is_write_refused, open_file, still_as_opened
from tracker.store.structure import expected_structure, structure_of, tables_of
from tracker.store.tables import FIELDS, TABLES
from tracker.store.version import SCHEMA

START_BYTES = 64_000_000
"""A larger file's pages are left for `check`: they take 16 ms a MB (measured, 24 where not in memory)."""
_SHOWN = 20
_WAIT_S = 5.0
_COUNTER = (
    "UPDATE sqlite_sequence SET seq = max(?, CASE WHEN seq < 9007199254740992 THEN seq ELSE 0 END) "
    "WHERE name = ?"
)


@dataclass(frozen=True)
class Finding:
    """One thing wrong, in a part of the file, a row or a path; `mendable` if `mend` takes care of it."""

    where: DamagedPart | str
    what: str
    mendable: bool = False


def check_file(file: Path, *, full: bool, page_bytes: int | None = None) -> list[Finding]:
    """Return what is wrong with a database file; never raises for what is inside it.

    A file of an earlier version, which is brought up to date when it is opened, is held against the
    tables of that version; only what the records' rules say of its rows is left until then.

    Parameters
    ----------
    full
        Whether to check every row against its checksum and its rule, too.
    page_bytes
        The size up to which a quick check reads every page; None for any.

    Raises
    ------
    BusyError
        If another process holds the file, or changed it meanwhile.
    SlackwaterError
        If the disk hinders: that says nothing about the file.
    """
    found = [*_modes(file)]
    try:
        with closing(open_file(file, timeout=_WAIT_S)) as connection:
            connection.execute("PRAGMA trusted_schema = OFF")
            connection.execute("PRAGMA cell_size_check = ON")
            connection.text_factory = _text
            connection.execute("BEGIN")
            if full or page_bytes is None or file.stat().st_size <= page_bytes:
                pragma = "integrity_check" if full else "quick_check"
                said = [str(row[0]) for row in connection.execute(f"PRAGMA {pragma}({_SHOWN})")]
                found += [Finding(DamagedPart.FILE, line, _is_index(line)) for line in said if line != "ok"]
            version = connection.execute("PRAGMA user_version").fetchone()[0]
            if version > SCHEMA:
                what = f"a later slackwater made it (tables {version}, this one knows {SCHEMA}); update it"
                return [*found, Finding(DamagedPart.HEADER, what)]
            version = version if version >= 1 else SCHEMA
            found += _versions(connection, version)
            found += _schema(connection, version)
            if full:
                found += _rows(connection, version)
            still_as_opened(connection, file)
    except (sqlite3.Error, OverflowError, UnicodeError, MemoryError) as error:
        if isinstance(error, sqlite3.Error) and (is_busy(error) or is_write_refused(error)):
            raise translate_error(error, str(file)) from None
        found.append(Finding(DamagedPart.FILE, f"cannot be read ({type(error).__name__}: {_plain(error)})"))
    if full:  # after closing: to close a file drops the locks of a connection that has it open
        found += _bytes(file)
    return found


def _bytes(file: Path) -> Iterator[Finding]:
    """Compare the whole file with its digest: a byte may flip where no row lies."""
    try:
        if matches_digest(file) is False:
            what = "is not byte for byte as slackwater left it; a failing disk or another program changed it"
            yield Finding(DamagedPart.FILE, what, mendable=True)
    except OSError as error:
        yield Finding(DamagedPart.FILE, f"cannot be read to its end: {error.strerror}")


def _plain(error: BaseException) -> str:
    """Return the driver's words if they hold no data."""
    words = str(error)
    return words if words in {"database disk image is malformed", "file is not a database"} else "damaged"


def _text(raw: bytes) -> str:
    return raw.decode("utf-8", "surrogateescape")


def _is_index(line: str) -> bool:
    return "index" in line and not line.startswith(("Tree", "Page", "***"))


def _modes(file: Path) -> Iterator[Finding]:
    for path in (*_parts(file), file.parent):
        with suppress(OSError):
            if path.stat().st_mode & 0o077 and (path != file.parent or _is_ours_alone(file.parent)):
                yield Finding(str(path), "others can read it", mendable=True)


def _parts(file: Path) -> tuple[Path, ...]:
    return (file, Path(f"{file}-wal"), Path(f"{file}-shm"), digest_beside(file))


def _is_ours_alone(folder: Path) -> bool:
    """Return whether a folder is one that we make: other folders are the owner's business."""
    return folder.name == "slackwater"


def _versions(connection: sqlite3.Connection, wanted: int) -> Iterator[Finding]:
    if connection.execute("PRAGMA application_id").fetchone()[0] != db.APPLICATION_ID:
        yield Finding(DamagedPart.HEADER, "the mark of a slackwater database is missing")
    version = connection.execute("PRAGMA user_version").fetchone()[0]
    stamp = [row[0] for row in connection.execute("SELECT version_num FROM alembic_version")]
    told = [row[0] for row in connection.execute("SELECT value FROM state WHERE name = 'schema'")]
    if (version, stamp, told) != (wanted, [revision(wanted)], [str(wanted)]):
        yield Finding(DamagedPart.HEADER, "the version of the tables is not what it should be")


def _rows(connection: sqlite3.Connection, version: int) -> Iterator[Finding]:
    for row in connection.execute("PRAGMA foreign_key_check").fetchmany(_SHOWN):
        yield Finding(f"{row[0]} {row[1]}", "names a swimmer or entry that is not there")
    yield from _sequences(connection, version)
    for name in tables_of(version):
        yield from _checksums(connection, name)
    if version == SCHEMA:
        yield from _rules(connection)


def _schema(connection: sqlite3.Connection, version: int) -> Iterator[Finding]:
    """Compare every table, index and rule with what a database of this version has."""
    found, wanted = structure_of(connection), expected_structure(version)
    for kind, name, _, _ in sorted(found - wanted, key=repr)[:_SHOWN]:
        yield Finding(
            DamagedPart.TABLES, f"the {_plain_name(kind)} {_plain_name(name)} is not as slackwater made it"
        )
    for kind, name, _, _ in sorted(wanted - found, key=repr)[:_SHOWN]:
        yield Finding(DamagedPart.TABLES, f"the {kind} {name} is missing or changed")


def _plain_name(text: object) -> str:
    return "".join(letter for letter in str(text) if letter.isascii() and letter.isprintable())[:40]


def _sequences(connection: sqlite3.Connection, version: int) -> Iterator[Finding]:
    counters = dict(connection.execute("SELECT name, seq FROM sqlite_sequence").fetchall())
    for name in tables_of(version):
        most = connection.execute(f'SELECT max(id) FROM "{name}"').fetchone()[0] or 0  # noqa: S608 - own names
        counter = counters.pop(name, 0)
        if not isinstance(counter, int) or not most <= counter < 2**53:
            yield Finding(name, "the counter of row numbers is wrong", mendable=True)
    for strange in counters:
        yield Finding("sqlite_sequence", f"a counter for {_plain_name(strange)}, which is no table of ours")


def _checksums(connection: sqlite3.Connection, name: str) -> Iterator[Finding]:
    there = [str(row[1]) for row in connection.execute(f'PRAGMA table_info("{name}")')]
    columns = ", ".join('"' + column.replace('"', '""') + '"' for column in checksummed(name, there))
    broken = 0
    for number, checksum, *values in connection.execute(f'SELECT id, seal, {columns} FROM "{name}"'):  # noqa: S608 - own names
        if checksum_of(values) != checksum:
            broken += 1
            if broken <= _SHOWN:
                yield Finding(f"{name} {number}", "the row is not as it was written")


def _rules(connection: sqlite3.Connection) -> Iterator[Finding]:
    """Hold every record against its own rule."""
    for kind, table in TABLES.items():
        names = FIELDS[kind]
        columns = ", ".join(f'"{name}"' for name in names)
        broken = 0
        for number, *values in connection.execute(f'SELECT id, {columns} FROM "{table.name}"'):  # noqa: S608 - own names
            try:
                kind.model_validate(dict(zip(names, values, strict=True)))
            except (ValidationError, ValueError) as wrong:
                broken += 1
                if broken <= _SHOWN:
                    yield Finding(f"{table.name} {number}", f"breaks its rule ({type(wrong).__name__})")


def last_backup(file: Path) -> dt.datetime | None:
    """Return when the last backup of a whole file was made; one of an earlier version stays as it is."""
    query = "SELECT at FROM copy_made WHERE kind = 'backup' ORDER BY id DESC LIMIT 1"
    with closing(open_file(file)) as connection:
        row = connection.execute(query).fetchone()
    return dt.datetime.fromisoformat(row[0]) if row else None


def mend(file: Path) -> None:
    """Mend what is safe: file modes, indexes, counters of row numbers. Data are never touched."""
    for path in _parts(file):
        with suppress(FileNotFoundError):
            path.chmod(0o600)
    if _is_ours_alone(file.parent):
        file.parent.chmod(0o700)
    with closing(sqlite3.connect(file, isolation_level=None, timeout=_WAIT_S)) as connection:
        connection.execute("PRAGMA trusted_schema = OFF")
        connection.execute("BEGIN IMMEDIATE")
        version = connection.execute("PRAGMA user_version").fetchone()[0]
        if version > SCHEMA:
            return
        remove_digest(file)
        for name in tables_of(version if version >= 1 else SCHEMA):
            query = f'SELECT coalesce(max(id), 0) FROM "{name}" NOT INDEXED'  # noqa: S608 - own names
            most = connection.execute(query).fetchone()[0]
            connection.execute(_COUNTER, (most, name))
        connection.execute("REINDEX")
        connection.execute("COMMIT")
    write_digest(file, largest=None)
