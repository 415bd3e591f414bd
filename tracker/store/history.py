"""The history: who did what when; undo and redo.

Entries are undone strictly in reverse order, so a step always finds the rows as it left them.
"""

from __future__ import annotations

import datetime as dt
import json
import zlib
from collections.abc import Iterable, Mapping, Sequence
from functools import cache
from typing import Any

from sqlalchemy import ColumnElement, Connection, Table, delete, func, insert, select, update

from tracker.errors import UsageError
from tracker.store.bulk import Bulk
from tracker.store.checksums import with_checksum
from tracker.store.engine import backend_of
from tracker.store.tables import BLANKS, KEYS, METADATA

ENTRIES = METADATA.tables["history_entry"]
ENTRY_SWIMMERS = METADATA.tables["history_swimmer"]
STEPS = METADATA.tables["history_step"]
STATE = METADATA.tables["state"]
COPIES = METADATA.tables["copy_made"]
BEGUN = " begun"
"""What ends the kind of a copy that is being made, or never was finished."""


def packed(rows: object) -> bytes:
    """Return rows as compressed JSON."""
    return zlib.compress(json.dumps(rows, default=dt.date.isoformat, ensure_ascii=False).encode(), 6)


def unpacked(content: bytes) -> Any:  # noqa: ANN401 - JSON
    """Return what `packed` was given, dates as text."""
    return json.loads(zlib.decompress(content))


def typed(table: Table, row: Mapping[str, Any]) -> dict[str, Any]:
    """Return a row out of JSON with its dates as dates."""
    dates = _date_columns(table)
    return {
        name: dt.date.fromisoformat(value) if name in dates and value is not None else value
        for name, value in row.items()
    }


@cache
def _date_columns(table: Table) -> frozenset[str]:
    return frozenset(column.name for column in table.columns if column.type.python_type is dt.date)


def insert_row(connection: Connection, table: Table, row: Mapping[str, Any]) -> int:
    """Insert one row of any table, with its checksum; return its number."""
    full = {column.name: getattr(column.default, "arg", None) for column in table.columns} | {"version": 1}
    full = {name: value for name, value in (full | dict(row)).items() if name != "id"}
    result = connection.execute(insert(table).values(with_checksum(table, full)))
    return int(result.inserted_primary_key[0]) if result.inserted_primary_key else 0


def update_row(connection: Connection, table: Table, number: int, **fields: object) -> None:
    """Change fields of one row of any table; its version rises and its checksum is renewed."""
    row = dict(connection.execute(select(table).where(table.c.id == number)).mappings().one())
    row |= fields
    row["version"] += 1
    connection.execute(update(table).where(table.c.id == number).values(with_checksum(table, row)))


def count_change(connection: Connection) -> None:
    """Raise the number by which others see that something was committed."""
    row = connection.execute(select(STATE).where(STATE.c.name == "changes")).mappings().one()
    update_row(connection, STATE, row["id"], value=str(int(row["value"]) + 1))


def open_entry(connection: Connection, *, who: str, what: str, at: dt.datetime) -> int:
    """Begin an entry; what was undone before can't be redone any more."""
    query = select(ENTRIES.c.id).where(ENTRIES.c.state == "undone", _own_entries(connection))
    undone = connection.execute(query).scalars().all()
    for number in undone:
        connection.execute(delete(STEPS).where(STEPS.c.entry == number))
        update_row(connection, ENTRIES, number, state="dropped")
    return insert_row(connection, ENTRIES, {"at": at.isoformat(), "who": who, "what": what})


def close_entry(connection: Connection, entry: int, swimmers: Iterable[str]) -> None:
    """Name the swimmers an entry concerns, and raise the data's version."""
    labels = list(swimmers)
    numbers = backend_of(connection).reserve_ids(connection, ENTRY_SWIMMERS, len(labels))
    rows = Bulk(connection, ENTRY_SWIMMERS, ("id", "version", "seal", "entry", "swimmer"))
    for number, label in zip(numbers, labels, strict=True):
        rows.put((number, 1, 0, entry, label))
    rows.close()
    count_change(connection)


def add_step(
    connection: Connection, entry: int, kind: str, place: str, numbers: range, content: object = None
) -> None:
    """Add a step to an entry."""
    insert_row(
        connection,
        STEPS,
        {
            "entry": entry,
            "kind": kind,
            "place": place,
            "first": numbers[0],
            "last": numbers[-1],
            "content": None if content is None else packed(content),
        },
    )


def relabel(connection: Connection, old: str, new: str) -> None:
    """Let the history of a swimmer follow a new label, as far as the login sees it."""
    connection.execute(update(ENTRY_SWIMMERS).where(ENTRY_SWIMMERS.c.swimmer == old).values(swimmer=new))


def undo_last(connection: Connection, *, who: str, at: dt.datetime) -> str:
    """Undo the last entry that stands; return what it was.

    Raises
    ------
    UsageError
        If nothing can be undone.
    """
    entry = _entry(connection, "done", latest=True)
    steps = select(STEPS).where(STEPS.c.entry == entry["id"]).order_by(STEPS.c.id.desc())
    for step in connection.execute(steps).mappings().all():
        table = METADATA.tables[step["place"]]
        if step["kind"] == "add":
            content = packed(_take_rows(connection, table, step["first"], step["last"]))
            update_row(connection, STEPS, step["id"], content=content)
        elif step["kind"] == "remove":
            _put_rows(connection, table, unpacked(step["content"]))
            update_row(connection, STEPS, step["id"], content=None)
        else:
            _set_fields(connection, table, step["first"], unpacked(step["content"])["before"])
    update_row(connection, ENTRIES, entry["id"], state="undone", undone_at=at.isoformat(), undone_by=who)
    count_change(connection)
    return str(entry["what"])


def redo_last(connection: Connection) -> str:
    """Redo the entry undone last; return what it was.

    Raises
    ------
    UsageError
        If nothing was undone since the last change.
    """
    entry = _entry(connection, "undone", latest=False)
    steps = select(STEPS).where(STEPS.c.entry == entry["id"]).order_by(STEPS.c.id)
    for step in connection.execute(steps).mappings().all():
        table = METADATA.tables[step["place"]]
        if step["kind"] == "add":
            _put_rows(connection, table, unpacked(step["content"]))
            update_row(connection, STEPS, step["id"], content=None)
        elif step["kind"] == "remove":
            content = packed(_take_rows(connection, table, step["first"], step["last"]))
            update_row(connection, STEPS, step["id"], content=content)
        else:
            _set_fields(connection, table, step["first"], unpacked(step["content"])["after"])
    update_row(connection, ENTRIES, entry["id"], state="done", undone_at="", undone_by="")
    count_change(connection)
    return str(entry["what"])


def _entry(connection: Connection, state: str, *, latest: bool) -> Mapping[str, Any]:
    order = ENTRIES.c.id.desc() if latest else ENTRIES.c.id
    query = select(ENTRIES).where(ENTRIES.c.state == state, _own_entries(connection)).order_by(order).limit(1)
    found = connection.execute(query).mappings().one_or_none()
    if found is None:
        raise UsageError("nothing to undo" if state == "done" else "nothing to redo")
    entry = dict(found)
    _check_untouched(connection, entry)
    return entry


def _own_entries(connection: Connection) -> ColumnElement[bool]:
    """Return the condition for entries that undo may touch: on a server, where coaches share, one's own."""
    return backend_of(connection).undoable_entries(ENTRIES.c.who)


def _check_untouched(connection: Connection, entry: Mapping[str, Any]) -> None:
    """Refuse what would undo another's work: they have changed something of the same swimmer since."""
    concerned = select(ENTRY_SWIMMERS.c.swimmer).where(ENTRY_SWIMMERS.c.entry == entry["id"])
    query = (
        select(ENTRIES.c.who, ENTRY_SWIMMERS.c.swimmer)
        .join(ENTRY_SWIMMERS, ENTRY_SWIMMERS.c.entry == ENTRIES.c.id)
        .where(ENTRIES.c.id > entry["id"], ENTRIES.c.state == "done", ~_own_entries(connection))
        .where(ENTRY_SWIMMERS.c.swimmer.in_(concerned))
        .limit(1)
    )
    other = connection.execute(query).one_or_none()
    if other is not None:
        raise UsageError(
            f"{other[0]} has changed something of {other[1]} since; what you did last ({entry['what']}) "
            "can only be corrected by hand"
        )


def _take_rows(connection: Connection, table: Table, first: int, last: int) -> list[dict[str, Any]]:
    """Remove rows and return them."""
    span = table.c.id.between(first, last)
    rows = [
        dict(row) for row in connection.execute(select(table).where(span).order_by(table.c.id)).mappings()
    ]
    connection.execute(delete(table).where(span))
    return rows


def _put_rows(connection: Connection, table: Table, rows: Sequence[Mapping[str, Any]]) -> None:
    """Put rows back under their numbers, each with a risen version: an old view of it is stale.

    Rows kept before a migration lack the fields it added, and hold those it took away.
    """
    if not rows:
        return
    columns = tuple(table.columns.keys())
    blank = dict.fromkeys(columns) | BLANKS.get(table.name, {})
    bulk = Bulk(connection, table, columns)
    for row in rows:
        full = {**blank, **typed(table, row), "version": row["version"] + 1}
        bulk.put(tuple(full[name] for name in columns))
    bulk.close()


def _set_fields(connection: Connection, table: Table, number: int, fields: Mapping[str, Any]) -> None:
    """Set fields of a row, if it is still there (an erased one is not)."""
    there = connection.execute(select(func.count()).where(table.c.id == number)).scalar_one()
    if not there:
        return
    if table.name == "swimmer" and "swimmer" in fields:
        old = connection.execute(select(table.c.swimmer).where(table.c.id == number)).scalar_one()
        relabel(connection, old, fields["swimmer"])
    own = set(table.columns.keys()) - set(KEYS)
    update_row(connection, table, number, **typed(table, {k: v for k, v in fields.items() if k in own}))
