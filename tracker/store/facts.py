"""Facts worth keeping that are no part of the record, and a quick look at what changed.

They stand outside the history: undo never touches them, and losing one costs only time.

It needs no table of a record. Making those takes longer than all the asking, and a command that finds its
answer kept never needs them.
"""

from __future__ import annotations

import datetime as dt

from sqlalchemy import Connection, column, func, insert, select, table, update

from tracker.model.base import Record
from tracker.store.checksums import with_checksum
from tracker.store.tables import DATE_OF, METADATA, TABLES

STATE = METADATA.tables["state"]


def save_fact(connection: Connection, name: str, value: str) -> None:
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


_STATE = table("state", column("name"), column("value"))
_PEOPLE = table("swimmer", column("swimmer"), column("group"), column("archived"))


class FactReader:
    """A snapshot, as far as it is read without the tables of the record; `reading.Reader` reads the rest."""

    def __init__(self, connection: Connection) -> None:
        self.connection = connection

    def data_version(self) -> int:
        """Return a number that changes whenever anybody commits."""
        query = select(_STATE.c.value).where(_STATE.c.name == "changes")
        return int(self.connection.execute(query).scalar_one())

    def fact(self, name: str) -> str | None:
        """Return a fact kept outside the record; None if there is none."""
        return self.connection.execute(select(_STATE.c.value).where(_STATE.c.name == name)).scalar()

    def labels(self, group: str | None = None, *, archived: bool = False) -> list[str]:
        """Return the swimmers' labels in order; of one group only, and with the archived if asked."""
        query = select(_PEOPLE.c.swimmer).order_by(_PEOPLE.c.swimmer)
        if group is not None:
            query = query.where(_PEOPLE.c.group == group)
        if not archived:
            query = query.where(_PEOPLE.c.archived.is_(None))
        return list(self.connection.execute(query).scalars())
