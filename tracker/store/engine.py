"""Where SQLite and PostgreSQL differ: connections, transactions, expressions (more in `server`)."""

from __future__ import annotations

import os
from collections.abc import Callable
from contextlib import nullcontext
from functools import partial
from pathlib import Path
from typing import Any

from sqlalchemy import (
    ColumnElement,
    Connection,
    Engine,
    Integer,
    Table,
    create_engine,
    event,
    func,
    literal,
    text,
)
from sqlalchemy.engine import URL, make_url
from sqlalchemy.exc import ArgumentError

from tracker.errors import BadFileError, SlackwaterError, UsageError
from tracker.model.database_address import is_secret, is_server
from tracker.store.checksums import remove_digest, without_digest
from tracker.store.failures import damaged, is_on_network
from tracker.store.opening import FileConnection, open_file, refuse_to_write
from tracker.store.server import RECORDS, TABLES, WRITES, make_server_engine
from tracker.store.version import SCHEMA, refuse_later

__all__ = ["RECORDS", "TABLES", "WRITES"]

APPLICATION_ID = 0x536C6B77
"""Marks a SQLite file as ours (PRAGMA application_id)."""
_WRITTEN = "postgresql+psycopg://LOGIN@HOST:5432/DATABASE"
_MAGIC = b"SQLite format 3\x00"

_PRAGMAS = (
    "foreign_keys = ON",
    "synchronous = FULL",
    "busy_timeout = 5000",
    "secure_delete = ON",
    "trusted_schema = OFF",
    "cell_size_check = ON",
)


def address_of(place: str | Path) -> URL:
    """Return the database URL of a path or URL; any path is meant as it stands.

    Raises
    ------
    UsageError
        If it is the URL of something else than SQLite or PostgreSQL, or cannot be read. What is wrong
        in it is never repeated: it may be a part of a password.
    """
    text_form = str(place)
    scheme, mark, rest = text_form.partition("://")
    if not mark and is_server(text_form):
        raise UsageError(f"the address of a server is written {_WRITTEN}")
    if not mark:
        return URL.create("sqlite", database=str(Path(text_form).expanduser().absolute()))
    if scheme not in {"sqlite", "postgresql", "postgresql+psycopg"}:
        raise UsageError(f"no database is called {scheme!r}; give a path, or postgresql+psycopg://...")
    login, at, place = rest.partition("@")
    if scheme != "sqlite" and ("@" in place or (at and set(login) & set("/?"))):
        raise UsageError(
            "a login or password in an address must have its @ written %40, / as %2F and ? as %3F; "
            "better leave it out and put it in ~/.pgpass or PGPASSWORD"
        )
    try:
        return make_url(f"postgresql+psycopg://{rest}" if scheme == "postgresql" else text_form)
    except ValueError:
        raise UsageError(f"the address's port is no number; it is written {_WRITTEN}") from None
    except ArgumentError:
        raise UsageError(f"the address of the database cannot be read; it is written {_WRITTEN}") from None


def file_of(address: URL) -> Path | None:
    """Return the SQLite file of a URL; None for a server."""
    if address.get_backend_name() != "sqlite":
        return None
    if not address.database or address.database == ":memory:":
        raise BadFileError("a database in memory is lost at once; give a path")
    return Path(address.database)


def name_of(address: URL) -> str:
    """Return the database's name for messages: a path, or the URL without its password."""
    file = file_of(address)
    if file:
        return str(file)
    bare = address.difference_update_query([name for name in address.query if is_secret(name)])
    return bare.render_as_string(hide_password=True)


def make_private_file(file: Path) -> None:
    """Create an empty file that only its owner can read, and its folder likewise, whatever the umask."""
    try:
        make_private_folder(file.parent)
        descriptor = os.open(file, os.O_CREAT | os.O_EXCL | os.O_RDWR, 0o600)
    except FileExistsError:
        return
    except OSError as error:
        raise SlackwaterError(f"cannot create {file}: {error.strerror}") from None
    os.fchmod(descriptor, 0o600)
    os.close(descriptor)


def make_private_folder(folder: Path) -> None:
    """Create a folder and the missing ones above it, readable by their owner only."""
    if folder.is_dir():
        return
    make_private_folder(folder.parent)
    try:
        folder.mkdir(mode=0o700)
    except FileExistsError:
        return
    folder.chmod(0o700)


def check_header(file: Path) -> None:
    """Refuse a file that is not one of ours; an empty one is taken as new.

    The header is read as bytes: asking SQLite might already change the file. It is right even
    beside an unwritten log, for the mark is set before the log is switched on.
    """
    try:
        with file.open("rb") as stream:
            header = stream.read(100)
    except OSError as error:
        raise BadFileError(f"cannot read {file}: {error.strerror}") from None
    if not header:
        return
    if len(header) < 100 or not header.startswith(_MAGIC):
        raise BadFileError(f"{file} is not a database; give another path")
    if int.from_bytes(header[68:72], "big") != APPLICATION_ID:
        raise BadFileError(f"{file} is a database of some other program; give another path")


def make_engine(address: URL) -> Engine:
    """Return an engine whose transactions are ours: a snapshot to read, one writer at a time.

    Values never stand in logs or error texts (``hide_parameters``).
    """
    file = file_of(address)
    if file is None:
        engine = make_server_engine(address)
        event.listen(engine, "begin", _refuse_later_tables)
        return engine
    # Without isolation_level=None Python's driver begins late, and updates are lost.
    engine = create_engine(
        address,
        hide_parameters=True,
        creator=partial(open_file, file, _preparing(file), one_thread=False, create=True),
    )

    def begin(connection: Connection) -> None:
        writes = connection.get_execution_options().get(WRITES)
        if writes:
            refuse_to_write(connection.connection.driver_connection, file)
        connection.exec_driver_sql("BEGIN IMMEDIATE" if writes else "BEGIN")
        _refuse_later_tables(connection)
        if writes:
            remove_digest(file)

    event.listen(engine, "begin", begin)
    return engine


def _preparing(file: Path) -> Callable[[FileConnection], None]:
    """Return what makes a new connection to a file ours."""
    journal = "TRUNCATE" if is_on_network(file) else "WAL"

    def prepare(connection: FileConnection) -> None:
        try:
            for pragma in _PRAGMAS:
                connection.execute(f"PRAGMA {pragma}")
        except UnicodeDecodeError:
            # the words for a table's broken definition quote it, and what it holds now is no text
            raise damaged(str(file)) from None
        if connection.read_only_reason is not None:
            return
        ours = connection.execute("PRAGMA application_id").fetchone()[0] == APPLICATION_ID
        # A later version's file is refused, and must not be changed by looking at it.
        if ours and connection.execute("PRAGMA user_version").fetchone()[0] <= SCHEMA:
            kept = connection.execute("PRAGMA journal_mode").fetchone()[0]
            # To begin or end a write-ahead log changes the file's header.
            with without_digest(file) if (kept == "wal") != (journal == "WAL") else nullcontext():
                connection.execute(f"PRAGMA journal_mode = {journal}")

    return prepare


def _refuse_later_tables(connection: Connection) -> None:
    """Keep a window that stayed open while a later version migrated from writing rows of the old shape."""
    if connection.get_execution_options().get(WRITES) in {None, TABLES}:
        return
    refuse_later(schema_version(connection), name_of(connection.engine.url))


def is_file(connection: Connection) -> bool:
    """Return whether the database is SQLite."""
    return connection.dialect.name == "sqlite"


def schema_version(connection: Connection) -> int:
    """Return the version of the tables; 0 if there are none."""
    if is_file(connection):
        return int(connection.exec_driver_sql("PRAGMA user_version").scalar_one())
    if connection.execute(text("SELECT to_regclass('state')")).scalar() is None:
        return 0
    return int(connection.execute(text("SELECT value FROM state WHERE name = 'schema'")).scalar_one())


def mark_schema(connection: Connection, version: int) -> None:
    """Write the version of the tables where a light opening finds it."""
    if is_file(connection):
        connection.exec_driver_sql(f"PRAGMA application_id = {APPLICATION_ID}")
        connection.exec_driver_sql(f"PRAGMA user_version = {int(version)}")


def reserve_ids(connection: Connection, table: Table, count: int) -> range:
    """Return row numbers never used before; the transaction must be the writing one."""
    if is_file(connection):
        found = connection.execute(
            text("SELECT seq FROM sqlite_sequence WHERE name = :name"), {"name": table.name}
        ).scalar()
        first = int(found or 0) + 1
        return range(first, first + count)
    sequence = f"pg_get_serial_sequence('{table.name}', 'id')"
    first = int(connection.execute(text(f"SELECT nextval({sequence})")).scalar_one())
    connection.execute(text(f"SELECT setval({sequence}, {first + count - 1})"))
    return range(first, first + count)


def days(connection: Connection, column: ColumnElement[Any]) -> ColumnElement[Any]:
    """Return a date column as whole days since 1970-01-01, so that no date objects are made."""
    if is_file(connection):
        return func.cast(func.julianday(column) - literal(2440587.5), type_=Integer)
    return column - func.date("1970-01-01")
