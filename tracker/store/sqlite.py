"""The SQLite backend: connections to a file, transactions, row numbers, expressions."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager, nullcontext
from functools import partial
from pathlib import Path
from typing import Any

from sqlalchemy import (
    URL,
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
    true,
)

from tracker.errors import BadFileError
from tracker.store.backend import RECORDS, WRITES, Backend
from tracker.store.checksums import remove_digest, without_digest
from tracker.store.failures import damaged, is_on_network
from tracker.store.opening import FileConnection, open_file, refuse_to_write
from tracker.store.version import SCHEMA, refuse_later

APPLICATION_ID = 0x536C6B77
"""Marks a SQLite file as ours (PRAGMA application_id)."""

_PRAGMAS = (
    "foreign_keys = ON",
    "synchronous = FULL",
    "busy_timeout = 5000",
    "secure_delete = ON",
    "trusted_schema = OFF",
    "cell_size_check = ON",
)


class SQLite(Backend):
    """A file, with one person at work in it."""

    def make_engine(self, address: URL) -> Engine:
        """Return an engine for a file."""
        file = Path(str(address.database))
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
            if writes == RECORDS:  # a window stayed open while a later version migrated
                refuse_later(self.schema_version(connection), str(file))
            if writes:
                remove_digest(file)

        event.listen(engine, "begin", begin)
        return engine

    def schema_version(self, connection: Connection) -> int:
        """Return the version in the file's header."""
        return int(connection.exec_driver_sql("PRAGMA user_version").scalar_one())

    def mark_schema(self, connection: Connection, version: int) -> None:
        """Write the version, and that the file is ours, into its header."""
        connection.exec_driver_sql(f"PRAGMA application_id = {APPLICATION_ID}")
        connection.exec_driver_sql(f"PRAGMA user_version = {int(version)}")

    @contextmanager
    def migrating(self, connection: Connection) -> Iterator[None]:
        """Keep the counters of row numbers, and look at all foreign keys, which are off meanwhile."""
        counters = _counters(connection)
        yield
        if connection.execute(text("PRAGMA foreign_key_check")).first():
            raise BadFileError("the migration would leave records without their swimmer; nothing was changed")
        _count_on(connection, counters)

    def keep_others_out(self, connection: Connection) -> None:
        """Do nothing: the transaction is the only one that writes."""

    def protect(self, connection: Connection) -> None:
        """Do nothing: a file has no logins."""

    def reserve_ids(self, connection: Connection, table: Table, count: int) -> range:
        """Return the numbers after the highest ever given out."""
        found = connection.execute(
            text("SELECT seq FROM sqlite_sequence WHERE name = :name"), {"name": table.name}
        ).scalar()
        first = int(found or 0) + 1
        return range(first, first + count)

    def insert_rows(
        self, connection: Connection, table: Table, columns: Sequence[str], rows: Sequence[Sequence[Any]]
    ) -> None:
        """Insert rows with nothing between them and the driver but a tuple."""
        names = ", ".join(f'"{name}"' for name in columns)
        marks = ", ".join("?" * len(columns))
        statement = f'INSERT INTO "{table.name}" ({names}) VALUES ({marks})'  # noqa: S608 - own names
        connection.exec_driver_sql(statement, [tuple(row) for row in rows])

    def inserted(self, connection: Connection, table: Table, count: int) -> None:
        """Do nothing: SQLite plans by its indexes alone."""

    def days(self, column: ColumnElement[Any]) -> ColumnElement[Any]:
        """Return a date column as whole days since 1970-01-01."""
        return func.cast(func.julianday(column) - literal(2440587.5), type_=Integer)

    def login(self, connection: Connection) -> str:  # noqa: ARG002
        """Return "": a file has no logins."""
        return ""

    def undoable_entries(self, who: ColumnElement[str]) -> ColumnElement[bool]:  # noqa: ARG002
        """Return a condition that is always true."""
        return true()

    def sees_everything(self, connection: Connection) -> bool:  # noqa: ARG002
        """Return True: a file has no row security."""
        return True


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


def _counters(connection: Connection) -> dict[str, int]:
    """Return table -> highest row number ever given out."""
    there = "SELECT count(*) FROM sqlite_master WHERE name = 'sqlite_sequence'"
    if not connection.exec_driver_sql(there).scalar():
        return {}
    return {
        name: int(most) for name, most in connection.exec_driver_sql("SELECT name, seq FROM sqlite_sequence")
    }


def _count_on(connection: Connection, counters: dict[str, int]) -> None:
    """Go on counting after the highest number given out: its row may be away, and undo brings it back."""
    for name, most in counters.items():
        statement = "UPDATE sqlite_sequence SET seq = max(seq, ?) WHERE name = ?"
        if not connection.exec_driver_sql(statement, (most, name)).rowcount:
            there = "SELECT count(*) FROM sqlite_master WHERE type = 'table' AND name = ?"
            if connection.exec_driver_sql(there, (name,)).scalar():
                connection.exec_driver_sql("INSERT INTO sqlite_sequence VALUES (?, ?)", (name, most))
