"""Facts that are stored beside the record and can be worked out again.

They stand outside the history: undo never touches them, and losing one costs only time.
"""

from __future__ import annotations

import datetime as dt

from sqlalchemy import Connection, func, insert, select, update

from tracker.model.base import Record
from tracker.store.checksums import with_checksum
from tracker.store.tables import DATE_OF, METADATA, TABLES

STATE = METADATA.tables["state"]


def save_derived(connection: Connection, name: str, value: str) -> None:
    """Keep a fact, in place of an earlier one of that name."""
    row = connection.execute(select(STATE).where(STATE.c.name == name)).mappings().one_or_none()
    if row is None:
        connection.execute(
            insert(STATE).values(with_checksum(STATE, {"name": name, "value": value, "version": 1}))
        )
    else:
        changed = with_checksum(STATE, {**row, "value": value})
        connection.execute(update(STATE).where(STATE.c.id == row["id"]).values(changed))


def fingerprint(connection: Connection, kind: type[Record], before: dt.date) -> str:
    """Return what changes whenever a record of this kind, of before that day, comes, goes or changes."""
    table = TABLES[kind]
    query = select(func.count(), func.sum(table.c.seal), func.max(table.c.id)).where(
        table.c[DATE_OF[kind]] < before
    )
    return ":".join(str(value) for value in connection.execute(query).one())


def fingerprints(connection: Connection, kind: type[Record]) -> dict[str, str]:
    """Return by swimmer what changes whenever a record of this kind comes, goes or changes."""
    table = TABLES[kind]
    query = select(table.c.swimmer, func.count(), func.sum(table.c.seal), func.max(table.c.id)).group_by(
        table.c.swimmer
    )
    return {name: f"{count}:{seals}:{last}" for name, count, seals, last in connection.execute(query)}
