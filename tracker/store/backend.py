"""The interface of a database backend: `sqlite.py` implements it for a file, a plug-in for a server."""

from __future__ import annotations

from collections.abc import Sequence
from contextlib import AbstractContextManager
from typing import Any, Protocol

from sqlalchemy import URL, ColumnElement, Connection, Engine, Table

WRITES = "slackwater_writes"
"""The execution option of a transaction that writes: `RECORDS`, or `TABLES` to make or migrate them."""
RECORDS, TABLES = "records", "tables"


class Backend(Protocol):
    """One kind of database.

    A transaction of its engine is a snapshot to read, or the only one that writes; it refuses to write
    records where a later version has made the tables. Values never stand in logs or error texts.
    """

    def make_engine(self, address: URL) -> Engine:
        """Return an engine for an address."""

    def schema_version(self, connection: Connection) -> int:
        """Return the version of the tables; 0 if there are none."""

    def mark_schema(self, connection: Connection, version: int) -> None:
        """Write the version of the tables where a light opening finds it."""

    def migrating(self, connection: Connection) -> AbstractContextManager[None]:
        """Keep what a migration would lose, and refuse one that would leave records without their swimmer."""

    def keep_others_out(self, connection: Connection) -> None:
        """Keep others from writing while the tables change; raises `UsageError` if the login may not."""

    def protect(self, connection: Connection) -> None:
        """Put the rules on all tables by which each login sees its swimmers only."""

    def reserve_ids(self, connection: Connection, table: Table, count: int) -> range:
        """Return row numbers never used before; the transaction must be the writing one."""

    def insert_rows(
        self, connection: Connection, table: Table, columns: Sequence[str], rows: Sequence[Sequence[Any]]
    ) -> None:
        """Insert rows, dates as ISO text."""

    def inserted(self, connection: Connection, table: Table, count: int) -> None:
        """Note that so many rows are new."""

    def days(self, column: ColumnElement[Any]) -> ColumnElement[Any]:
        """Return a date column as whole days since 1970-01-01, so that no date objects are made."""

    def login(self, connection: Connection) -> str:
        """Return the login that the connection acts as; "" where there are no logins."""

    def undoable_entries(self, who: ColumnElement[str]) -> ColumnElement[bool]:
        """Return the condition for entries that this login may undo: all where there are no logins."""

    def sees_everything(self, connection: Connection) -> bool:
        """Return whether no rule hides a swimmer from this connection."""
