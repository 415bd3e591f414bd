"""Many rows into one table: sealed, in chunks, with nothing between them and the driver but a tuple."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Sequence
from operator import itemgetter
from typing import Any

from sqlalchemy import Connection, Table, insert

from tracker.store.engine import is_file
from tracker.store.seal import seal_of, sealed_columns

_CHUNK = 20_000


class Bulk:
    """Inserts rows of one shape; `flush` must be called at the end.

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
            *(self._columns.index(name) for name in sealed_columns(table))
        )
        self._waiting: list[Any] = []
        names = ", ".join(f'"{name}"' for name in columns)
        marks = ", ".join("?" * len(self._columns))
        self._statement = f'INSERT INTO "{table.name}" ({names}) VALUES ({marks})'  # noqa: S608 - own names

    def put(self, row: Sequence[Any]) -> None:
        """Take one row, values in the order of the columns."""
        values = list(row)
        for place in self._dates:
            if values[place] is not None:
                values[place] = values[place].isoformat()
        values[self._seal] = seal_of(self._covered(values))
        self._waiting.append(values)
        if len(self._waiting) == _CHUNK:
            self.flush()

    def flush(self) -> None:
        """Insert what is waiting."""
        if not self._waiting:
            return
        if is_file(self._connection):
            rows = [tuple(values) for values in self._waiting]
            self._connection.exec_driver_sql(self._statement, rows)
        else:
            self._connection.execute(insert(self._table), [self._typed(values) for values in self._waiting])
        self._waiting = []

    def _typed(self, values: list[Any]) -> dict[str, Any]:
        row = dict(zip(self._columns, values, strict=True))
        for place in self._dates:
            name = self._columns[place]
            row[name] = None if row[name] is None else dt.date.fromisoformat(row[name])
        return row
