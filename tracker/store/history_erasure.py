"""Erase a swimmer from the history: what undo holds of them, and entries about them alone.

The history is walked backwards with the label they bore at each step, since an entry of before a
renaming holds the label of then. Steps of others stay as they are, so undo still takes them back.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Collection, Iterator
from typing import Any

from sqlalchemy import Connection, delete, select

from tracker.model.text import name_key
from tracker.store.history import ENTRIES, ENTRY_SWIMMERS, STEPS, packed, unpacked, update_row
from tracker.store.persons import TABLES_WITH_SWIMMER, Person, without_name
from tracker.store.tables import METADATA


def erase_from_history(connection: Connection, person: Person, others: Collection[str]) -> set[str]:
    """Take a person out of the history; their rows must be out of the tables already.

    Parameters
    ----------
    others
        The labels of everybody else.

    Returns
    -------
    set of str
        The `uid` of every row of theirs that undo or redo could have brought back.
    """
    alone = _about_alone(connection, person)
    uids, touched = _remove_rows(connection, person)
    touched |= _drop_steps(connection, person)
    connection.execute(delete(ENTRY_SWIMMERS).where(ENTRY_SWIMMERS.c.swimmer == person.label))
    _remove_name(connection, person, others)
    _drop_entries(connection, touched | alone)
    return uids


def undo_data_of(connection: Connection, person: Person) -> list[dict[str, Any]]:
    """Return what undo and redo keep of a person: rows that are away, and fields as they were or would be."""
    found: list[dict[str, Any]] = []
    numbers: dict[str, set[int]] = defaultdict(set)
    for table in TABLES_WITH_SWIMMER:
        query = select(table.c.id).where(table.c.swimmer == person.label)
        numbers[table.name] |= set(connection.execute(query).scalars())
    changes = []
    for step, content, label in _walk(connection, person):
        if step["kind"] == "change":
            changes.append((step, content))
            continue
        rows = [row for row in content if row.get("swimmer") == label]
        numbers[step["place"]] |= {row["id"] for row in rows}
        found += [{"table": step["place"], "kind": step["kind"], "row": row} for row in rows]
    found += [
        {"table": step["place"], "kind": "change", "id": step["first"], **content}
        for step, content in changes
        if step["first"] in numbers[step["place"]]
    ]
    return found


def _about_alone(connection: Connection, person: Person) -> set[int]:
    """Return the entries that concern this person and nobody else."""
    theirs = select(ENTRY_SWIMMERS.c.entry).where(ENTRY_SWIMMERS.c.swimmer == person.label)
    shared = select(ENTRY_SWIMMERS.c.entry).where(ENTRY_SWIMMERS.c.swimmer != person.label)
    query = theirs.where(ENTRY_SWIMMERS.c.entry.not_in(shared))
    return set(connection.execute(query).scalars())


def _in_walk_order(connection: Connection) -> list[dict[str, Any]]:
    """Return all steps with their entry's state: those that stand from the last back, then those undone."""
    query = select(STEPS, ENTRIES.c.state).join(ENTRIES, ENTRIES.c.id == STEPS.c.entry).order_by(STEPS.c.id)
    steps = [dict(row) for row in connection.execute(query.where(STEPS.c.content.is_not(None))).mappings()]
    standing = [step for step in steps if step["state"] != "undone"]
    undone = [step for step in steps if step["state"] == "undone"]
    return [*reversed(standing), *undone]


def _walk(connection: Connection, person: Person) -> Iterator[tuple[dict[str, Any], Any, str]]:
    """Give each step that keeps something, what it keeps, and the label the person bore there."""
    label, turned = person.label, False
    for step in _in_walk_order(connection):
        undone = step["state"] == "undone"
        if undone and not turned:
            label, turned = person.label, True
        content = unpacked(step["content"])
        yield step, content, label
        if step["kind"] == "change" and step["place"] == "swimmer" and step["first"] == person.number:
            label = content["after" if undone else "before"].get("swimmer", label)


def _remove_rows(connection: Connection, person: Person) -> tuple[set[str], set[int]]:
    """Take their rows out of what undo and redo keep; return those rows' `uid` and the entries touched."""
    uids: set[str] = set()
    touched: set[int] = set()
    for step, content, label in _walk(connection, person):
        if step["kind"] == "change":
            continue
        others_rows = [row for row in content if row.get("swimmer") != label]
        if len(others_rows) < len(content):
            update_row(connection, STEPS, step["id"], content=packed(others_rows))
            touched.add(step["entry"])
            uids |= {row["uid"] for row in content if row.get("swimmer") == label and "uid" in row}
    return uids, touched


def _drop_steps(connection: Connection, person: Person) -> set[int]:
    """Drop the steps behind which no row of anybody is left; return their entries."""
    left = _remaining_ids(connection)
    mine = {name_key(label) for label in person.labels}
    touched = set()
    for step in connection.execute(select(STEPS).order_by(STEPS.c.id)).mappings().all():
        numbers = left[step["place"]]
        if not any(number in numbers for number in range(step["first"], step["last"] + 1)):
            connection.execute(delete(STEPS).where(STEPS.c.id == step["id"]))
            touched.add(step["entry"])
        elif step["kind"] == "change" and step["place"] != "swimmer":
            sides = unpacked(step["content"])
            if any(name_key(str(side.get("swimmer", ""))) in mine for side in sides.values()):
                bare = {
                    when: {k: v for k, v in side.items() if k != "swimmer"} for when, side in sides.items()
                }
                update_row(connection, STEPS, step["id"], content=packed(bare))
    return touched


def _remaining_ids(connection: Connection) -> dict[str, set[int]]:
    """Return by table the numbers of rows that stand, or that undo or redo can bring back."""
    left: dict[str, set[int]] = defaultdict(set)
    for name in set(connection.execute(select(STEPS.c.place)).scalars()):
        left[name] |= set(connection.execute(select(METADATA.tables[name].c.id)).scalars())
    away = select(STEPS.c.place, STEPS.c.content).where(
        STEPS.c.kind != "change", STEPS.c.content.is_not(None)
    )
    for place, content in connection.execute(away):
        left[place] |= {row["id"] for row in unpacked(content)}
    return left


def _remove_name(connection: Connection, person: Person, others: Collection[str]) -> None:
    """Take the name out of the words of every entry."""
    mine = {name_key(label) for label in person.labels}
    for entry in connection.execute(select(ENTRIES)).mappings().all():
        likely = [
            field
            for field in ("who", "what", "undone_by")
            if any(label in name_key(entry[field]) for label in mine)
        ]
        bare = {field: without_name(entry[field], person, others) for field in likely}
        changes = {field: text for field, text in bare.items() if text != entry[field]}
        if changes:
            update_row(connection, ENTRIES, entry["id"], **changes)


def _drop_entries(connection: Connection, entries: Collection[int]) -> None:
    """Drop those of these entries that have no step left: undo would do nothing there."""
    for entry in entries:
        if connection.execute(select(STEPS.c.id).where(STEPS.c.entry == entry).limit(1)).first() is None:
            connection.execute(delete(ENTRY_SWIMMERS).where(ENTRY_SWIMMERS.c.entry == entry))
            connection.execute(delete(ENTRIES).where(ENTRIES.c.id == entry))
