"""A reader of what needs no table of a record: derived values, the data's version, labels.

Making those tables takes longer than these queries, and a command that finds its answer in the cache never
needs them. A derived value stands outside the history and can be worked out again.
"""

from __future__ import annotations

from sqlalchemy import Connection, column, select, table

_STATE = table("state", column("name"), column("value"))
_PEOPLE = table("swimmer", column("swimmer"), column("group"), column("archived"))


class LightReader:
    """A snapshot, as far as it is read without the tables of the record; `reading.Reader` reads the rest."""

    def __init__(self, connection: Connection) -> None:
        self.connection = connection

    def data_version(self) -> int:
        """Return a number that changes whenever anybody commits."""
        query = select(_STATE.c.value).where(_STATE.c.name == "changes")
        return int(self.connection.execute(query).scalar_one())

    def derived(self, name: str) -> str | None:
        """Return a derived value; None if there is none."""
        return self.connection.execute(select(_STATE.c.value).where(_STATE.c.name == name)).scalar()

    def labels(self, group: str | None = None, *, archived: bool = False) -> list[str]:
        """Return the swimmers' labels in order; of one group only, and with the archived if asked."""
        query = select(_PEOPLE.c.swimmer).order_by(_PEOPLE.c.swimmer)
        if group is not None:
            query = query.where(_PEOPLE.c.group == group)
        if not archived:
            query = query.where(_PEOPLE.c.archived.is_(None))
        return list(self.connection.execute(query).scalars())
