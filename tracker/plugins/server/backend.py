"""The PostgreSQL backend: connections, one writer at a time, row numbers, expressions, logins."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from contextlib import AbstractContextManager, nullcontext
from typing import Any

from sqlalchemy import (
    URL,
    ColumnElement,
    Connection,
    Engine,
    String,
    Table,
    create_engine,
    event,
    func,
    text,
)
from sqlalchemy.exc import DisconnectionError
from sqlalchemy.ext.compiler import compiles

from tracker.errors import UsageError
from tracker.plugins.server import row_security
from tracker.store.backend import RECORDS, TABLES, WRITES, Backend
from tracker.store.engine import name_of
from tracker.store.version import refuse_later

_MAKERS = 7_311_953
"""The advisory lock held while tables are made or migrated."""
_LOCK_TIMEOUT = "SET LOCAL lock_timeout = '5s'"
"""As long as SQLite's busy_timeout."""
_MANY = 10_000
"""Rows after which a server is told to look at the table again."""
_ARRAYS = {int: "int8", float: "float8", bytes: "bytea", dt.date: "date"}
"""The types of what is no text."""


# Any server then orders text as SQLite does: by code point, whatever its locale.
@compiles(String, "postgresql")
def _by_code_point(_type: Any, _compiler: Any, **_kw: Any) -> str:  # noqa: ANN401 - SQLAlchemy's hook
    return 'VARCHAR COLLATE "C"'


class PostgreSQL(Backend):
    """A server, with many people at work in it."""

    def make_engine(self, address: URL) -> Engine:
        """Return an engine for a server.

        A connection that comes back is made as new: whatever role or setting its user took on is
        gone before anybody else has it.
        """
        try:
            engine = create_engine(
                address,
                hide_parameters=True,
                isolation_level="REPEATABLE READ",
                connect_args={"connect_timeout": 10, "application_name": "slackwater"},
            )
        except ModuleNotFoundError:
            raise UsageError("PostgreSQL needs its driver: pip install 'slackwater[postgres]'") from None
        event.listen(engine, "begin", _begin)
        event.listen(engine, "checkout", _reset_connection)
        return engine

    def schema_version(self, connection: Connection) -> int:
        """Return the version that stands in the table `state`."""
        if connection.execute(text("SELECT to_regclass('state')")).scalar() is None:
            return 0
        return int(connection.execute(text("SELECT value FROM state WHERE name = 'schema'")).scalar_one())

    def mark_schema(self, connection: Connection, version: int) -> None:
        """Do nothing: it stands in the table `state`."""

    def migrating(self, connection: Connection) -> AbstractContextManager[None]:  # noqa: ARG002
        """Do nothing: a server keeps its row numbers and foreign keys through any change."""
        return nullcontext()

    def keep_others_out(self, connection: Connection) -> None:
        """Take the writer's lock; only who owns the tables and sees all rows may change them."""
        if not row_security.is_keeper(connection):
            raise UsageError(
                "the tables are of an earlier slackwater; the login that made them, and sees every swimmer, "
                "brings them up to date by any command"
            )
        connection.exec_driver_sql("LOCK TABLE state IN EXCLUSIVE MODE")

    def protect(self, connection: Connection) -> None:
        """Put the rules on all tables."""
        row_security.protect(connection)

    def reserve_ids(self, connection: Connection, table: Table, count: int) -> range:
        """Return numbers of the table's sequence."""
        sequence = f"pg_get_serial_sequence('{table.name}', 'id')"
        first = int(connection.execute(text(f"SELECT nextval({sequence})")).scalar_one())
        connection.execute(text(f"SELECT setval({sequence}, {first + count - 1})"))
        return range(first, first + count)

    def insert_rows(
        self, connection: Connection, table: Table, columns: Sequence[str], rows: Sequence[Sequence[Any]]
    ) -> None:
        """Insert by one array a column: one statement a chunk and, unlike COPY, under the rows' rules."""
        arrays, casts = [], []
        for name, values in zip(columns, zip(*rows, strict=True), strict=True):
            kind = table.c[name].type.python_type
            casts.append(f"%s::{_ARRAYS.get(kind, 'text')}[]")
            whole = kind is float  # the driver wants one type an array
            arrays.append([float(one) if whole and one is not None else one for one in values])
        names = ", ".join(f'"{name}"' for name in columns)
        into = f'INSERT INTO "{table.name}" ({names})'
        statement = f"{into} SELECT * FROM unnest({', '.join(casts)})"  # noqa: S608 - own names
        connection.exec_driver_sql(statement, tuple(arrays))

    def inserted(self, connection: Connection, table: Table, count: int) -> None:
        """Have the server look at the table again after many new rows.

        One that knows nothing of them reads the whole table for each part of a roster; its own look comes
        a minute later. A login that may not ask is passed over.
        """
        if count >= _MANY:
            connection.exec_driver_sql(f'ANALYZE "{table.name}"')

    def days(self, column: ColumnElement[Any]) -> ColumnElement[Any]:
        """Return a date column as whole days since 1970-01-01."""
        return column - func.date("1970-01-01")

    def login(self, connection: Connection) -> str:
        """Return the login, by which the rules of the rows go."""
        return row_security.current_login(connection)

    def undoable_entries(self, who: ColumnElement[str]) -> ColumnElement[bool]:
        """Return the condition for entries that the login signed."""
        return who == func.current_user()

    def sees_everything(self, connection: Connection) -> bool:
        """Return whether no rule hides a swimmer from the login."""
        return row_security.sees_everything(connection)


BACKEND = PostgreSQL()


def _begin(connection: Connection) -> None:
    """Take the writer's lock before the first statement, which fixes what the transaction sees."""
    writes = connection.get_execution_options().get(WRITES)
    if not writes:
        return
    connection.exec_driver_sql(_LOCK_TIMEOUT)
    if writes == TABLES:
        # Asking for an advisory lock fixes the snapshot too early; this transaction needs none.
        connection.exec_driver_sql("SET TRANSACTION ISOLATION LEVEL READ COMMITTED")
        connection.exec_driver_sql(f"SELECT pg_advisory_xact_lock({_MAKERS})")
        return
    connection.exec_driver_sql("LOCK TABLE state IN EXCLUSIVE MODE")
    if writes == RECORDS:  # a window stayed open while a later version migrated
        refuse_later(BACKEND.schema_version(connection), name_of(connection.engine.url))


def _reset_connection(driver: Any, _record: object, _proxy: object) -> None:  # noqa: ANN401 - the driver's own
    try:
        before = driver.autocommit
        driver.autocommit = True
        driver.execute("RESET SESSION AUTHORIZATION")
        driver.execute("RESET ALL")
        driver.autocommit = before
    except Exception:
        if driver.closed:  # lost while nobody used it, by a restart perhaps: another is opened instead
            raise DisconnectionError from None
        raise
