"""Insert many rows into one table: with checksums, in chunks, as plain tuples for the driver."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Sequence
from operator import itemgetter
from typing import Any

from sqlalchemy import Connection, Table

from tracker.store.checksums import checksum_columns, checksum_of
from tracker.store.engine import backend_of

_CHUNK = 20_000


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
        self._checksum = self._columns.index("seal")
        self._dates = tuple(
            place for place, name in enumerate(columns) if table.c[name].type.python_type is dt.date
        )
        self._covered: Callable[[Any], Any] = itemgetter(
            *(self._columns.index(name) for name in checksum_columns(table))
        )
        self._waiting: list[Any] = []
        self._sent = 0

    def put(self, row: Sequence[Any]) -> None:
        """Take one row, values in the order of the columns."""
        values = list(row)
        for place in self._dates:
            if values[place] is not None:
                values[place] = values[place].isoformat()
        values[self._checksum] = checksum_of(self._covered(values))
        self._waiting.append(values)
        if len(self._waiting) == _CHUNK:
            self._flush()

    def close(self) -> None:
        """Insert what is waiting."""
        self._flush()
        backend_of(self._connection).inserted(self._connection, self._table, self._sent)

    def _flush(self) -> None:
        if self._waiting:
            self._sent += len(self._waiting)
            backend_of(self._connection).insert_rows(
                self._connection, self._table, self._columns, self._waiting
            )
        self._waiting = []
