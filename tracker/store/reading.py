"""Reading: records out of one snapshot of the database. Rows never leave this folder."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING, Any, TypeVar, cast

from sqlalchemy import ColumnElement, Connection, Select, Table, func, literal, select

from tracker.errors import BadFileError, UnknownNameError
from tracker.model.base import Record, StoredRow
from tracker.model.swimmer import Swimmer
from tracker.model.text import clean_line, name_key
from tracker.remedies import Mend
from tracker.store.engine import backend_of
from tracker.store.history import BEGUN
from tracker.store.light_reader import LightReader
from tracker.store.tables import DATE_OF, ENUMS, FIELDS, METADATA, TABLES

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

R = TypeVar("R", bound=Record)
SWIMMERS = TABLES[Swimmer]
_NULL = 9e999
"""Stands for NULL on its way into a float column; no stored number is infinite."""


@dataclass(frozen=True)
class HistoryLine:
    """One entry of the history; `state` is done, undone, dropped or final."""

    id: int
    at: dt.datetime
    who: str
    what: str
    state: str
    swimmers: tuple[str, ...]


@dataclass(frozen=True)
class CopyMade:
    """A "backup" or "export" that was begun, and whether it was finished."""

    place: str
    kind: str
    at: dt.datetime
    finished: bool = True


def stored_row(kind: type[R], row: Mapping[Any, Any]) -> StoredRow[R]:
    """Return the record of a row. It was validated on its way in, and is not again."""
    values = {name: row[name] for name in FIELDS[kind]}
    for name, words in ENUMS[kind].items():
        try:
            values[name] = words(values[name])
        except ValueError:
            raise BadFileError(
                f"{TABLES[kind].name} {row['id']} has the {name} {clean_line(str(values[name]))!r}, "
                "which this version does not know",
                Mend.CHECK,
            ) from None
    record = kind.model_construct(**values)
    return StoredRow(row["id"], row["version"], record)


class Reader(LightReader):
    """A snapshot: everything read through one reader is of one moment."""

    def __init__(
        self, connection: Connection, fingerprints: dict[Any, tuple[int, str]] | None = None
    ) -> None:
        super().__init__(connection)
        self._fingerprints = {} if fingerprints is None else fingerprints

    def all(self, kind: type[R], /, **equal: Any) -> list[StoredRow[R]]:  # noqa: ANN401 - any column's value
        """Return the records of a kind, by date and number; `equal` keeps those with these values.

        A tuple stands for any of its values.
        """
        table = TABLES[kind]
        query = _where(select(table), table, equal).order_by(table.c[DATE_OF[kind]], table.c.id)
        return [stored_row(kind, row) for row in self.connection.execute(query).mappings()]

    def rows(self, kind: type[Record]) -> Iterator[tuple[Any, ...]]:
        """Give the values of all records of a kind as plain tuples, by swimmer, date and number.

        For large exports and comparisons: streamed, without record objects.
        """
        table = TABLES[kind]
        columns = [table.c[name] for name in FIELDS[kind]]
        order = [table.c.swimmer] if "swimmer" in FIELDS[kind] else []
        query = select(*columns).order_by(*order, table.c[DATE_OF[kind]], table.c.id)
        with self.connection.execute(query, execution_options={"yield_per": 10_000}) as result:
            for row in result:
                yield tuple(row)

    def one(self, kind: type[R], number: int) -> StoredRow[R]:
        """Return one record by its number.

        Raises
        ------
        UnknownNameError
            If there is no such row.
        """
        table = TABLES[kind]
        row = self.connection.execute(select(table).where(table.c.id == number)).mappings().one_or_none()
        if row is None:
            raise UnknownNameError(table.name.replace("_", " "), str(number))
        return stored_row(kind, row)

    def count(self, kind: type[Record], /, **equal: Any) -> int:  # noqa: ANN401 - any column's value
        """Return how many records of a kind there are."""
        table = TABLES[kind]
        query = _where(select(func.count()).select_from(table), table, equal)
        return int(self.connection.execute(query).scalar_one())

    def swimmer(self, name: str) -> StoredRow[Swimmer]:
        """Return the swimmer called `name`: exactly, or else the only one spelt alike.

        Raises
        ------
        UnknownNameError
            If nobody, or more than one, is meant; with the nearest labels.
        """
        found = self.all(Swimmer, swimmer=name)
        if found:
            return found[0]
        labels = self.labels(archived=True)
        key = name_key(name)
        alike = [label for label in labels if name_key(label) == key]
        if len(alike) == 1:
            return self.all(Swimmer, swimmer=alike[0])[0]
        raise UnknownNameError("swimmer", name, tuple(alike) or _nearest(key, labels))

    def person_ids(self) -> dict[str, str]:
        """Return by label what tells each swimmer from any other, also after another label is given."""
        rows = self.connection.execute(select(SWIMMERS.c.swimmer, SWIMMERS.c.uid))
        return {row.swimmer: row.uid for row in rows}

    def columns(
        self,
        kind: type[Record],
        names: Sequence[str],
        *,
        group: str | None = None,
        swimmer: str | None = None,
        among: Sequence[str] | None = None,
        archived: bool = False,
    ) -> dict[str, NDArray[Any]]:
        """Return columns of a kind as arrays, rows ordered by swimmer, date and number.

        No objects are made: a million swims take about a second.

        Parameters
        ----------
        kind
            A kind of record that names a swimmer, or `Swimmer`.
        names
            Its fields, or "id".
        group, swimmer, among
            Only of this group; only of this swimmer; only of these.
        archived
            Whether archived swimmers are read too, where no swimmer is named.

        Returns
        -------
        dict
            Arrays of one length: dates as ``datetime64[D]`` (NaT where nothing), whole numbers
            that are always there as int64, other numbers as float64 (NaN where nothing),
            text as objects.
        """
        import numpy as np

        table = TABLES[kind]
        expressions = [_to_driver(self.connection, table, name) for name in names]
        query = select(*[expression for expression, _ in expressions])
        if group is not None:
            query = query.where(table.c.swimmer.in_(_labels_where(SWIMMERS.c.group == group)))
        if swimmer is not None:
            query = query.where(table.c.swimmer == swimmer)
        elif among is not None:
            query = query.where(table.c.swimmer.in_(among))
        elif not archived:
            query = query.where(table.c.swimmer.not_in(_labels_where(SWIMMERS.c.archived.is_not(None))))
        query = query.order_by(table.c.swimmer, table.c[DATE_OF[kind]], table.c.id)
        shape = np.dtype([(f"c{place}", kind_of) for place, (_, kind_of) in enumerate(expressions)])
        result = self.connection.execute(query)
        cursor = cast("Iterable[Any]", result.cursor)  # the driver's own: no row objects
        rows = np.fromiter(cursor, dtype=shape)
        result.close()
        return {name: _from_driver(table, name, rows[f"c{place}"]) for place, name in enumerate(names)}

    @cached_property
    def sees_everything(self) -> bool:
        """Whether the reader sees every swimmer: always in a file, on a server by their login."""
        return backend_of(self.connection).sees_everything(self.connection)

    @property
    def login(self) -> str:
        """The login of the reader on a server; empty for a file."""
        return backend_of(self.connection).login(self.connection)

    def fingerprint(self, kind: type[Record], before: dt.date) -> str:
        """Return what changes with any record of this kind dated before that day.

        Summing a big table takes tens of milliseconds, so it is done once for each state of the data.
        """
        version = self.data_version()
        known = self._fingerprints.get((kind, before))
        if known is None or known[0] != version:
            table = TABLES[kind]
            query = select(func.count(), func.sum(table.c.seal), func.max(table.c.id)).where(
                table.c[DATE_OF[kind]] < before
            )
            found = ":".join(str(value) for value in self.connection.execute(query).one())
            known = self._fingerprints[kind, before] = (version, found)
        return known[1]

    def fingerprints(self, kind: type[Record]) -> dict[str, str]:
        """Return by swimmer what changes with any of their records of this kind."""
        table = TABLES[kind]
        query = select(table.c.swimmer, func.count(), func.sum(table.c.seal), func.max(table.c.id)).group_by(
            table.c.swimmer
        )
        return {name: f"{count}:{sum_}:{last}" for name, count, sum_, last in self.connection.execute(query)}

    def copies_made(self) -> list[CopyMade]:
        """Return the backups and exports that were made or begun, latest first."""
        table = METADATA.tables["copy_made"]
        query = select(table.c.place, table.c.kind, table.c.at).order_by(table.c.id.desc())
        return [
            CopyMade(place, kind.removesuffix(BEGUN), dt.datetime.fromisoformat(at), not kind.endswith(BEGUN))
            for place, kind, at in self.connection.execute(query)
        ]

    def history(self, swimmer: str | None = None, limit: int | None = None) -> list[HistoryLine]:
        """Return the history, latest first; of one swimmer if given."""
        entries, links = METADATA.tables["history_entry"], METADATA.tables["history_swimmer"]
        query = select(entries).order_by(entries.c.id.desc()).limit(limit)
        if swimmer is not None:
            query = query.where(entries.c.id.in_(select(links.c.entry).where(links.c.swimmer == swimmer)))
        lines = list(self.connection.execute(query).mappings())
        concerned: dict[int, list[str]] = {line["id"]: [] for line in lines}
        for entry, label in self.connection.execute(
            select(links.c.entry, links.c.swimmer).order_by(links.c.id)
        ):
            if entry in concerned:
                concerned[entry].append(label)
        return [
            HistoryLine(
                line["id"],
                dt.datetime.fromisoformat(line["at"]),
                line["who"],
                line["what"],
                line["state"],
                tuple(concerned[line["id"]]),
            )
            for line in lines
        ]


def _labels_where(which: ColumnElement[bool]) -> Select[Any]:
    """Return the labels of some swimmers: asked once, where a join would look up every row's."""
    return select(SWIMMERS.c.swimmer).where(which)


def _where(query: Select[Any], table: Table, equal: dict[str, Any]) -> Select[Any]:
    for name, value in equal.items():
        column = table.c[name]
        if isinstance(value, tuple):
            query = query.where(column.in_(value))
        else:
            query = query.where(column.is_(None) if value is None else column == value)
    return query


def _nearest(key: str, labels: Sequence[str]) -> tuple[str, ...]:
    from difflib import get_close_matches

    keys = {name_key(label): label for label in labels}
    near = get_close_matches(key, keys, n=3, cutoff=0.6)
    parts = [name for name in keys if key and key in name.split()]
    return tuple(dict.fromkeys(keys[name] for name in (*near, *parts)))[:3]


def _to_driver(connection: Connection, table: Table, name: str) -> tuple[Any, str]:
    """Return how a column travels: its expression and the array's type."""
    column = table.c[name]
    python = column.type.python_type
    if python is dt.date:
        return func.coalesce(backend_of(connection).days(column), literal(-(2**62))), "i8"
    if python is int and not column.nullable:
        return column, "i8"
    if python in {int, float}:
        return func.coalesce(column, literal(_NULL)), "f8"
    return column, "O"


def _from_driver(table: Table, name: str, values: NDArray[Any]) -> NDArray[Any]:
    """Return a column as it is promised."""
    import numpy as np

    column = table.c[name]
    python = column.type.python_type
    if python is dt.date:
        dates: NDArray[np.datetime64] = np.ascontiguousarray(values).astype("datetime64[D]")
        dates[values == -(2**62)] = np.datetime64("NaT")
        return dates
    plain = np.array(values)
    if python in {int, float} and column.nullable:
        plain[np.isinf(plain)] = np.nan
    return plain
