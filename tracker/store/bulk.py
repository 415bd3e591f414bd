"""Many rows into one table: sealed, in chunks, with nothing between them and the driver but a tuple."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Sequence
from operator import itemgetter
from typing import Any

from sqlalchemy import Connection, Table

from tracker.store.checksums import checksum_columns, checksum_of
from tracker.store.engine import is_file

_CHUNK = 20_000
_MANY = 10_000
"""Rows after which a server is told to look at the table again."""
_ARRAYS = {int: "int8", float: "float8", bytes: "bytea", dt.date: "date"}
"""PostgreSQL's types of what is no text."""


class Bulk:
    """Inserts rows of one shape; `close` must be called at the end.

    Parameters
    ----------
    columns
        The columns of each row, "seal" among them; what stands there is replaced.
    """

    def __init__(self, connection: Connection, table: Table, columns: Sequence[str]) -> None:
        self._connection = connection
        self._table = table
        self._columns = tuple(columns)
        self._seal = self._columns.index("seal")
        self._dates = tuple(
            place for place, name in enumerate(columns) if table.c[name].type.python_type is dt.date
        )
        self._covered: Callable[[Any], Any] = itemgetter(
            *(self._columns.index(name) for name in checksum_columns(table))
        )
        self._waiting: list[Any] = []
        self._sent = 0
        names = ", ".join(f'"{name}"' for name in columns)
        marks = ", ".join("?" * len(self._columns))
        self._into = f'INSERT INTO "{table.name}" ({names})'
        self._statement = f"{self._into} VALUES ({marks})"

    def put(self, row: Sequence[Any]) -> None:
        """Take one row, values in the order of the columns."""
        values = list(row)
        for place in self._dates:
            if values[place] is not None:
                values[place] = values[place].isoformat()
        values[self._seal] = checksum_of(self._covered(values))
        self._waiting.append(values)
        if len(self._waiting) == _CHUNK:
            self._flush()

    def close(self) -> None:
        """Insert what is waiting.

        A server that knows nothing of so many new rows reads the whole table for each part of a roster;
        its own look at it comes a minute later, so it is asked for. A login that may not ask is passed over.
        """
        self._flush()
        if self._sent >= _MANY and not is_file(self._connection):
            self._connection.exec_driver_sql(f'ANALYZE "{self._table.name}"')

    def _flush(self) -> None:
        if not self._waiting:
            return
        self._sent += len(self._waiting)
        if is_file(self._connection):
            rows = [tuple(values) for values in self._waiting]
            self._connection.exec_driver_sql(self._statement, rows)
        else:
            self._send_columns()
        self._waiting = []

    def _send_columns(self) -> None:
        """Insert by one array a column: one statement a chunk and, unlike COPY, under the rows' rules."""
        arrays, casts = [], []
        for name, values in zip(self._columns, zip(*self._waiting, strict=True), strict=True):
            kind = self._table.c[name].type.python_type
            casts.append(f"%s::{_ARRAYS.get(kind, 'text')}[]")
            whole = kind is float  # the driver wants one type an array
            arrays.append([float(one) if whole and one is not None else one for one in values])
        statement = f"{self._into} SELECT * FROM unnest({', '.join(casts)})"  # noqa: S608 - own names
        self._connection.exec_driver_sql(statement, tuple(arrays))
