"""Writing: records in, as one transaction and one entry of the history."""

from __future__ import annotations

import datetime as dt
import secrets
from collections.abc import Iterable, Sequence
from functools import partial
from typing import Any, TypeVar

from pydantic import ValidationError
from sqlalchemy import Connection, delete, insert, select, update

from tracker.errors import EntryError, Problem, StaleError, UnknownNameError
from tracker.model.base import Record, StoredRow
from tracker.model.swimmer import Swimmer
from tracker.model.text import clean_line
from tracker.store import history
from tracker.store.bulk import Bulk
from tracker.store.checksums import with_checksum
from tracker.store.engine import backend_of
from tracker.store.reading import Reader, stored_row
from tracker.store.tables import FIELDS, METADATA, TABLES

R = TypeVar("R", bound=Record)
_STATE = METADATA.tables["state"]


class Writer(Reader):
    """A reader that can also change things; nothing stands until its transaction ends well.

    Its entry in the history is opened by the first change: a transaction that changes nothing
    leaves none, and what was undone can still be redone.
    """

    def __init__(self, connection: Connection, *, who: str, what: str, at: dt.datetime) -> None:
        super().__init__(connection)
        self._open = partial(history.open_entry, connection, who=who, what=what, at=at)
        self._entry: int | None = None
        self._swimmers: dict[str, None] = {}

    def close(self) -> None:
        """Finish the entry in the history."""
        if self._entry is not None:
            history.close_entry(self.connection, self._entry, self._swimmers)

    def _add_step(self, kind: str, place: str, numbers: range, content: object = None) -> None:
        if self._entry is None:
            self._entry = self._open()
        history.add_step(self.connection, self._entry, kind, place, numbers, content)

    def add(self, records: Sequence[Record]) -> list[int]:
        """Store records of any kinds, swimmers first; return their numbers in the order given."""
        numbers = [0] * len(records)
        for kind in TABLES:
            places = [place for place, record in enumerate(records) if type(record) is kind]
            rows = (tuple(getattr(records[place], name) for name in FIELDS[kind]) for place in places)
            for place, number in zip(places, self.add_rows(kind, rows, len(places)), strict=True):
                numbers[place] = number
        return numbers

    def add_rows(self, kind: type[Record], rows: Iterable[tuple[Any, ...]], count: int) -> range:
        """Store `count` rows whose values, in the order of the fields, obey the record's rule already.

        This is the way of large imports: no record objects, inserts in chunks. Returns their numbers.
        """
        if not count:
            return range(0)
        table, names = TABLES[kind], FIELDS[kind]
        numbers = backend_of(self.connection).reserve_ids(self.connection, table, count)
        keys: tuple[str, ...] = ("id", "version", "seal", *names)
        whose = names.index("swimmer") if "swimmer" in names else None
        uid = kind is Swimmer
        fast = Bulk(self.connection, table, (*keys, "uid") if uid else keys)
        for number, row in zip(numbers, rows, strict=True):
            if whose is not None:
                self._swimmers[row[whose]] = None
            fast.put((number, 1, 0, *row, secrets.token_hex(8)) if uid else (number, 1, 0, *row))
        fast.close()
        self._add_step("add", table.name, numbers)
        return numbers

    def change(
        self, kind: type[Record], number: int, version: int | None = None, /, **fields: object
    ) -> None:
        """Set fields of one record; the whole record must still obey its rule.

        Raises
        ------
        StaleError
            If `version` is given and somebody has changed the row since; says both versions.
        EntryError
            If the changed record breaks the record's rule.
        UnknownNameError
            If there is no such row.
        """
        table = TABLES[kind]
        row = self._row(kind, number)
        old = stored_row(kind, row)
        _check_version(old, version, fields)
        new = _validated(kind, {**old.record.model_dump(), **fields})
        after = {name: getattr(new, name) for name in fields}
        before = {name: row[name] for name in fields}
        if after == before:
            return
        full = {**row, **after, "version": row["version"] + 1}
        self.connection.execute(update(table).where(table.c.id == number).values(with_checksum(table, full)))
        content = {"before": before, "after": after}
        self._add_step("change", table.name, range(number, number + 1), content)
        if kind is Swimmer and "swimmer" in after:
            history.relabel(self.connection, row["swimmer"], full["swimmer"])
            self._swimmers.pop(row["swimmer"], None)
        self._concern(full)

    def remove(self, kind: type[Record], number: int, version: int | None = None) -> None:
        """Remove one record.

        Raises
        ------
        StaleError
            If `version` is given and somebody has changed the row since.
        UnknownNameError
            If there is no such row.
        """
        table = TABLES[kind]
        row = self._row(kind, number)
        _check_version(stored_row(kind, row), version, {})
        self.connection.execute(delete(table).where(table.c.id == number))
        self._add_step("remove", table.name, range(number, number + 1), [row])
        self._concern(row)

    def _row(self, kind: type[Record], number: int) -> dict[str, Any]:
        table = TABLES[kind]
        row = self.connection.execute(select(table).where(table.c.id == number)).mappings().one_or_none()
        if row is None:
            raise UnknownNameError(table.name.replace("_", " "), str(number))
        return dict(row)

    def _concern(self, row: dict[str, Any]) -> None:
        if "swimmer" in row:
            self._swimmers[row["swimmer"]] = None


def _validated(kind: type[R], values: dict[str, Any]) -> R:
    try:
        return kind.model_validate(values)
    except ValidationError as error:
        raise EntryError(
            tuple(
                Problem(
                    ".".join(str(part) for part in problem["loc"]),
                    clean_line(str(problem["input"]))[:80],
                    problem["msg"].removeprefix("Value error, "),
                )
                for problem in error.errors(include_url=False)
            )
        ) from None


def _check_version(old: StoredRow[Any], version: int | None, fields: dict[str, Any]) -> None:
    if version is None or version == old.version:
        return
    theirs = ", ".join(f"{name} {getattr(old.record, name)}" for name in fields)
    yours = ", ".join(f"{name} {value}" for name, value in fields.items())
    said = f" (now: {theirs}; yours: {yours})" if fields else ""
    raise StaleError(f"somebody has changed this entry meanwhile{said}; look at it again")


def save_derived(connection: Connection, name: str, value: str) -> None:
    """Store a derived value outside the history, in place of an earlier one of that name."""
    row = connection.execute(select(_STATE).where(_STATE.c.name == name)).mappings().one_or_none()
    if row is None:
        connection.execute(
            insert(_STATE).values(with_checksum(_STATE, {"name": name, "value": value, "version": 1}))
        )
    else:
        changed = with_checksum(_STATE, {**row, "value": value})
        connection.execute(update(_STATE).where(_STATE.c.id == row["id"]).values(changed))
