"""Erase a swimmer so that no byte of them is left in the file, not even after a restore."""

from __future__ import annotations

import datetime as dt
import re
import sqlite3
import time
import unicodedata
from collections.abc import Collection, Mapping
from contextlib import closing
from dataclasses import dataclass
from pathlib import Path

from sqlalchemy import Connection, Engine, delete, insert, select

from tracker.errors import UnknownNameError, UsageError
from tracker.model.text import name_key
from tracker.store.checksums import with_checksum, without_digest
from tracker.store.database import Store
from tracker.store.engine import RECORDS, WRITES
from tracker.store.failures import translated_errors
from tracker.store.history import COPIES, ENTRIES, count_change, insert_row
from tracker.store.history_erasure import erase_from_history
from tracker.store.persons import (
    SWIMMERS,
    TABLES_WITH_SWIMMER,
    Mention,
    Person,
    counts_of,
    find_person,
    mentions_of,
    without_name,
)
from tracker.store.tables import METADATA

TOMBSTONES = METADATA.tables["tombstone"]
_TIMEOUT_S = 5.0
_WORD = re.compile(r"[^\W_]+")


@dataclass(frozen=True)
class PersonRecords:
    """What a database holds of a person: rows by table, and where other people's rows name them."""

    person: Person
    rows: Mapping[str, int]
    mentions: tuple[Mention, ...]


def find_person_data(store: Store, label: str) -> PersonRecords:
    """Return what erasing would take, changing nothing.

    Raises
    ------
    UnknownNameError
        If neither a table nor the history knows the label.
    UsageError
        If this login does not see every group, so that something could stay unseen.
    """
    with store.read() as reader:
        person = _person(reader.connection, label)
        if not reader.sees_everything:
            raise UsageError(
                "only a login that sees every group can erase a swimmer: nothing may be left unseen"
            )
        return PersonRecords(
            person, counts_of(reader.connection, person), tuple(mentions_of(reader.connection, person))
        )


def erase(store: Store, label: str, day: dt.date, *, who: str, at: dt.datetime) -> PersonRecords:
    """Delete every row that names a swimmer and what undo holds of them; leave a nameless tombstone.

    Other people's rows stay as they are, to the last bit. Call `overwrite_free` afterwards: deleted rows lie
    in the file's write-ahead log until then. It can't be undone; the history says who did it, not to whom.

    Raises
    ------
    UnknownNameError, UsageError
        As `find_person_data` does.
    """
    found = find_person_data(store, label)
    person = found.person
    with translated_errors(store.address), _writing(store.engine) as connection, connection.begin():
        _delete_person(connection, person, day.isoformat())
        by = store.signed(connection, without_name(who, person, ()))
        entry = {"at": at.isoformat(), "who": by, "what": "erase a swimmer", "state": "final"}
        insert_row(connection, ENTRIES, entry)
    return found


def _person(connection: Connection, label: str) -> Person:
    person = find_person(connection, label)
    if person is None:
        raise UnknownNameError("swimmer", label)
    return person


def _writing(engine: Engine) -> Connection:
    return engine.connect().execution_options(**{WRITES: RECORDS})


def _delete_person(connection: Connection, person: Person, day: str) -> None:
    others = [
        label for label in connection.execute(select(SWIMMERS.c.swimmer)).scalars() if label != person.label
    ]
    for table in TABLES_WITH_SWIMMER:
        if not table.name.startswith("history_"):
            connection.execute(delete(table).where(table.c.swimmer == person.label))
    _copies_forgotten(connection, person)
    uids = erase_from_history(connection, person, others) | ({person.uid} if person.uid else set())
    _add_tombstone(connection, uids, day)
    count_change(connection)


def _copies_forgotten(connection: Connection, person: Person) -> None:
    """Forget the places of copies whose path spells their name."""
    spelt = [_plain(label) for label in person.labels]
    for number, place in connection.execute(select(COPIES.c.id, COPIES.c.place)).all():
        if any(label in _plain(place) for label in spelt):
            connection.execute(delete(COPIES).where(COPIES.c.id == number))


def _plain(text: str) -> str:
    """Return bare words between single blanks, so that "out/zoe_kvist" spells "Zoë Kvist"."""
    letters = unicodedata.normalize("NFKD", name_key(text))
    bare = "".join(letter for letter in letters if not unicodedata.combining(letter))
    return f" {' '.join(_WORD.findall(bare))} "


def tombstones(store: Store) -> frozenset[str]:
    """Return the `uid` of everybody who was erased: what a restore must know of the database it replaces."""
    with store.read() as reader:
        return frozenset(reader.connection.execute(select(TOMBSTONES.c.uid)).scalars())


def erase_again(connection: Connection, uids: Collection[str], *, day: dt.date) -> int:
    """Erase, in the transaction of a restore, the people that an older backup brought back; return how many.

    Nobody is named in the process: a tombstone and a swimmer's row share their `uid`. The backup's
    own tombstones count too.

    Parameters
    ----------
    uids
        The `tombstones` of the database that is replaced.
    day
        The day written on the new tombstones.
    """
    _add_tombstone(connection, uids, day.isoformat())
    query = select(SWIMMERS.c.swimmer).join(TOMBSTONES, TOMBSTONES.c.uid == SWIMMERS.c.uid)
    back = connection.execute(query).scalars().all()
    for label in back:
        _delete_person(connection, _person(connection, label), day.isoformat())
    return len(back)


def apply_tombstones(store: Store, uids: Collection[str], *, day: dt.date) -> int:
    """Erase people that an older backup brought back, as `erase_again` does, and wipe; return how many."""
    with translated_errors(store.address), _writing(store.engine) as connection, connection.begin():
        erased = erase_again(connection, uids, day=day)
    if erased:
        overwrite_free(store)
    return erased


def _add_tombstone(connection: Connection, uids: Collection[str], day: str) -> None:
    there = set(connection.execute(select(TOMBSTONES.c.uid)).scalars())
    for uid in sorted(set(uids) - there):
        row = with_checksum(TOMBSTONES, {"uid": uid, "date": day, "version": 1})
        connection.execute(insert(TOMBSTONES).values(row))


def holds(copy: Path, person: Person) -> bool | None:
    """Return whether a copy of the database holds a person; None for anything but a readable copy."""
    if not copy.is_file() or not person.uid or copy.with_name(f"{copy.name}-wal").exists():
        return None
    try:
        address = f"{copy.absolute().as_uri()}?mode=ro&immutable=1"
        with closing(sqlite3.connect(address, uri=True)) as connection:
            connection.execute("PRAGMA trusted_schema = OFF")
            query = "SELECT 1 FROM swimmer WHERE uid = ?"
            return connection.execute(query, (person.uid,)).fetchone() is not None
    except sqlite3.Error:
        return None


def overwrite_free(store: Store) -> bool | None:
    """Overwrite what deleted rows left in the file and its write-ahead log.

    Returns
    -------
    bool or None
        Whether nothing is left: False while another process holds an older state open. None for a
        server, whose own log and free pages are out of reach.
    """
    if store.file is None:
        return None
    store.engine.dispose()
    with translated_errors(store.address), without_digest(store.file):
        connection = sqlite3.connect(store.file, isolation_level=None, timeout=_TIMEOUT_S)
        try:
            connection.execute("PRAGMA secure_delete = ON")
            connection.execute("VACUUM")
            until = time.monotonic() + _TIMEOUT_S
            while busy := connection.execute("PRAGMA wal_checkpoint(TRUNCATE)").fetchone()[0]:
                if time.monotonic() > until:
                    break
                time.sleep(0.1)
        finally:
            connection.close()
    return not busy
