"""All rows of one swimmer in any table, and where else their label is written."""

from __future__ import annotations

import re
from collections.abc import Collection, Iterator
from dataclasses import dataclass
from typing import Any

from sqlalchemy import Connection, Table, func, or_, select
from sqlmodel.sql.sqltypes import AutoString

from tracker.model.text import name_key
from tracker.store.history import ENTRY_SWIMMERS, STEPS, unpacked
from tracker.store.tables import METADATA, TABLES

SWIMMERS = METADATA.tables["swimmer"]
TABLES_WITH_SWIMMER: tuple[Table, ...] = tuple(
    table for table in reversed(METADATA.sorted_tables) if "swimmer" in table.columns
)
"""Every table that names a swimmer, children before parents."""


@dataclass(frozen=True)
class Person:
    """Who is meant: their present label, their row (None if only the history still knows them), all labels.

    Attributes
    ----------
    labels
        Every label they have or had, except those that somebody else bears now.
    """

    label: str
    number: int | None
    uid: str
    labels: tuple[str, ...]


@dataclass(frozen=True)
class Mention:
    """A label written in somebody else's row: as a reviewer, or in a note."""

    table: str
    number: int
    column: str


def find_person(connection: Connection, label: str) -> Person | None:
    """Return the swimmer of that label, or a person that only the history still names."""
    row = connection.execute(select(SWIMMERS).where(SWIMMERS.c.swimmer == label)).mappings().one_or_none()
    if row is not None:
        labels = dict.fromkeys([label, *_labels_in_history(connection, row["id"])])
        taken = set(connection.execute(select(SWIMMERS.c.swimmer)).scalars()) - {label}
        mine = tuple(one for one in labels if one not in taken)
        return Person(label, row["id"], row["uid"], mine)
    known = connection.execute(select(ENTRY_SWIMMERS.c.swimmer).distinct()).scalars()
    gone = [one for one in known if name_key(one) == name_key(label)]
    return Person(gone[0], None, "", (gone[0],)) if gone else None


def _labels_in_history(connection: Connection, number: int) -> Iterator[str]:
    query = select(STEPS.c.content).where(
        STEPS.c.place == "swimmer", STEPS.c.kind == "change", STEPS.c.first == number
    )
    for content in connection.execute(query).scalars():
        change = unpacked(content)
        yield from (side["swimmer"] for side in (change["before"], change["after"]) if "swimmer" in side)


def rows_of(connection: Connection, person: Person) -> dict[str, list[dict[str, Any]]]:
    """Return by table every row that names a swimmer, as plain values without bytes."""
    found = {}
    for table in reversed(TABLES_WITH_SWIMMER):
        query = select(table).where(table.c.swimmer == person.label).order_by(table.c.id)
        found[table.name] = [
            {name: value for name, value in row.items() if not isinstance(value, bytes)}
            for row in connection.execute(query).mappings()
        ]
    return found


def counts_of(connection: Connection, person: Person) -> dict[str, int]:
    """Return by table how many rows name a swimmer; tables without any are left out."""
    counts = {}
    for table in reversed(TABLES_WITH_SWIMMER):
        query = select(func.count()).select_from(table).where(table.c.swimmer == person.label)
        count = int(connection.execute(query).scalar_one())
        if count:
            counts[table.name] = count
    return counts


def mentions_of(connection: Connection, person: Person) -> list[Mention]:
    """Return where somebody else's row writes one of their labels: a reviewer, a coach, a note."""
    pattern = naming(person.labels)
    found = []
    for table in TABLES.values():
        texts = [
            column for column in table.columns if isinstance(column.type, AutoString) and not _is_key(column)
        ]
        if not texts:
            continue
        likely = [column.contains(label, autoescape=True) for column in texts for label in person.labels]
        query = select(table).where(or_(*likely))
        if "swimmer" in table.columns:
            query = query.where(table.c.swimmer != person.label)
        for row in connection.execute(query.order_by(table.c.id)).mappings():
            columns = [
                column.name for column in texts if row[column.name] and pattern.search(row[column.name])
            ]
            found += [Mention(table.name, row["id"], column) for column in columns]
    return found


def _is_key(column: Any) -> bool:  # noqa: ANN401 - SQLAlchemy's column
    return column.name in {"swimmer", "uid"}


def naming(labels: Collection[str]) -> re.Pattern[str]:
    """Return what finds the labels in a text where they stand as words of their own."""
    longest = sorted(labels, key=len, reverse=True)
    return re.compile(rf"(?<!\w)(?:{'|'.join(map(re.escape, longest))})(?!\w)", re.IGNORECASE)


def without_name(text: str, person: Person, others: Collection[str]) -> str:
    """Return a text with the person's labels taken out; a longer label of somebody else stays whole."""
    mine = {name_key(label) for label in person.labels}
    theirs = [label for label in others if any(one in name_key(label) for one in mine) and label in text]
    pattern = naming([*person.labels, *theirs])
    return pattern.sub(lambda found: "(erased)" if name_key(found[0]) in mine else found[0], text)
