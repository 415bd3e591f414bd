"""Restore a copy: check it as an untrusted file first, swap it in as one transaction."""

from __future__ import annotations

import datetime as dt
import sqlite3
from collections.abc import Callable
from contextlib import closing
from dataclasses import dataclass
from pathlib import Path

from sqlalchemy import select

from tracker.errors import BadFileError, BusyError, UnwritableError
from tracker.store import engine as db
from tracker.store.checking import check_file
from tracker.store.checksums import without_digest, write_digest
from tracker.store.copies import (
    being_written,
    copy_file,
    is_being_written,
    remove_copy,
    remove_unfinished,
    staging_path,
    verified,
)
from tracker.store.database import Store
from tracker.store.erasing import apply_tombstones
from tracker.store.failures import translated_errors
from tracker.store.history import COPIES, STATE, insert_row, update_row
from tracker.store.opening import find_read_only_reason
from tracker.store.version import SCHEMA, refuse_later

_TRIES, _WAIT_S = 20, 0.25


@dataclass(frozen=True)
class RestoreReport:
    """What was brought back, and where the database that it replaced was put (None if there was none)."""

    rows: int
    replaced: Path | None
    erased_again: int


def restore_file(source: Path, target: Path, *, at: dt.datetime) -> RestoreReport:
    """Replace the content of a database by that of a copy.

    The copy is checked in full before anything happens: a file with a trigger, a view or a rule that
    we did not make is refused, nothing of it is run. An older one is brought up to date. Whoever was
    erased since the copy was made is erased from it again. The present database is copied beside
    itself first; the swap is one transaction, seen by all who have it open, or by none.

    Raises
    ------
    BadFileError
        If the copy was not made by this program, or is damaged.
    BusyError
        If somebody is writing.
    """
    db.check_header(source)
    if source.stat().st_size == 0:
        raise BadFileError(f"{source} is empty")
    reason = find_read_only_reason(target) if target.exists() else None
    if reason is not None:
        raise UnwritableError(
            f"{target} cannot be written: {reason.cause}; nothing was changed; {reason.mend}"
        )
    present = _present_state(target)
    remove_unfinished(target, (place for place, _, _ in present.copies))
    stage = staging_path(target)
    if is_being_written(stage):
        raise BusyError(f"another process is restoring {target} just now; try again in a moment")
    try:
        copy_file(source, stage, force=True)
        with being_written(stage):
            return _restored(source, stage, target, present, at)
    finally:
        remove_copy(stage)


def _restored(source: Path, stage: Path, target: Path, present: _Present, at: dt.datetime) -> RestoreReport:
    """Get the staged copy ready and put it in place."""
    _strange(stage)
    with translated_errors(str(source)):
        _migrate_copy(stage, source)
    erased = _prepare(stage, present, at)
    _refuse_damaged(stage, source)
    replaced = _set_aside(target, at)
    rows = _swap(stage, target)
    return RestoreReport(rows, replaced, erased)


def _refuse_damaged(stage: Path, source: Path) -> None:
    wrong = [finding for finding in check_file(stage, full=True) if not finding.mendable]
    if wrong:
        raise BadFileError(f"{source} is damaged: {wrong[0].where}: {wrong[0].what}")


def _strange(stage: Path) -> None:
    """Refuse what would run by itself, before anything else is asked of the file."""
    with closing(sqlite3.connect(stage)) as connection:
        connection.execute("PRAGMA trusted_schema = OFF")
        query = "SELECT count(*) FROM sqlite_master WHERE type NOT IN ('table', 'index')"
        if connection.execute(query).fetchone()[0]:
            raise BadFileError(
                "the copy holds a trigger or view, which slackwater never makes; it is refused"
            )


@dataclass(frozen=True)
class _Present:
    """What a restore must know of the database it replaces.

    Attributes
    ----------
    tombstones
        Who is erased.
    changes
        Its count of changes.
    copies
        Place, kind and moment of each backup and export that was made of it.
    """

    tombstones: frozenset[str] = frozenset()
    changes: int = 0
    copies: tuple[tuple[str, str, str], ...] = ()


def _present_state(target: Path) -> _Present:
    """Return what must outlive the present database; nothing if it is damaged."""
    try:
        with closing(sqlite3.connect(f"{target.absolute().as_uri()}?mode=ro", uri=True)) as connection:
            tombstones = frozenset(str(row[0]) for row in connection.execute("SELECT uid FROM tombstone"))
            changes = connection.execute("SELECT value FROM state WHERE name = 'changes'").fetchone()
            copies = connection.execute("SELECT place, kind, at FROM copy_made ORDER BY id").fetchall()
            return _Present(
                tombstones, int(changes[0]), tuple((str(p), str(k), str(at)) for p, k, at in copies)
            )
    except (sqlite3.Error, ValueError, TypeError):
        return _Present()


def _prepare(stage: Path, present: _Present, at: dt.datetime) -> int:
    """Erase from a copy who was erased, and let open windows see that all is new.

    The backups made since then stay known: a later erasure still names those that hold the person.
    """
    store = Store.open(stage, create=False)
    try:
        erased = apply_tombstones(store, present.tombstones, day=at.date())
        with (
            store.engine.connect().execution_options(**{db.WRITES: db.RECORDS}) as connection,
            connection.begin(),
        ):
            query = select(COPIES.c.place, COPIES.c.at, COPIES.c.id, COPIES.c.kind)
            known = {(place, made): (number, kind) for place, made, number, kind in connection.execute(query)}
            for place, kind, made in present.copies:
                if (place, made) not in known:
                    insert_row(connection, COPIES, {"place": place, "kind": kind, "at": made})
                elif known[place, made][1] != kind:  # the copy itself was made before it was finished
                    update_row(connection, COPIES, known[place, made][0], kind=kind)
            row = connection.execute(select(STATE).where(STATE.c.name == "changes")).mappings().one()
            update_row(connection, STATE, row["id"], value=str(max(present.changes, int(row["value"])) + 1))
    finally:
        store.close()
    return erased


def _migrate_copy(stage: Path, source: Path) -> None:
    """Migrate a copy of an earlier version, if it is whole; what it was before is the source."""
    engine = db.make_engine(db.address_of(stage))
    try:
        with engine.connect() as connection:
            found = db.schema_version(connection)
        refuse_later(found, str(source))
        if 0 < found < SCHEMA:
            from tracker.store.migrating import upgrade

            _refuse_damaged(stage, source)
            upgrade(engine, stage, found, copied=False)
    finally:
        engine.dispose()


def _set_aside(target: Path, at: dt.datetime) -> Path | None:
    """Copy the present database beside itself; a damaged one is moved there as it is."""
    if not target.exists() or target.stat().st_size == 0:
        return None
    aside = _free_name(target, f"{target.stem}-before-restore-{at:%Y%m%d-%H%M%S}")
    if any(not finding.mendable for finding in check_file(target, full=False)):
        for ending in ("", "-wal", "-shm"):
            part = Path(f"{target}{ending}")
            if part.exists():
                part.replace(f"{aside}{ending}")
        return aside
    copy_file(target, aside)
    return aside


def _free_name(target: Path, stem: str) -> Path:
    """Return a path beside the database that nothing has: two restores of one second keep both."""
    names = (f"{stem}.db", *(f"{stem}-{number}.db" for number in range(2, 1000)))
    return next(path for name in names if not (path := target.with_name(name)).exists())


def _timeout() -> Callable[[int, int, int], None]:
    """Return what gives up after some five seconds: by itself the driver waits for ever."""
    tries = 0

    def count(_status: int, _remaining: int, _total: int) -> None:
        nonlocal tries
        tries += 1
        if tries > _TRIES:
            raise BusyError("the database is in use by another process; close it and try again")

    return count


def _swap(stage: Path, target: Path) -> int:
    """Write the copy over the database, page by page, in one transaction; return its rows."""
    db.make_private_file(target)
    with (
        translated_errors(str(target)),
        closing(sqlite3.connect(stage)) as origin,
        closing(sqlite3.connect(target, timeout=5)) as present,
    ):
        present.execute("PRAGMA synchronous = FULL")
        present.execute("PRAGMA secure_delete = ON")
        with without_digest(target):
            origin.backup(present, progress=_timeout(), sleep=_WAIT_S)
    rows = sum(verified(target)[0].values())
    write_digest(target)
    return rows
