"""Migrating an old database by Alembic: a copy first, all in one transaction, keys checked after."""

from __future__ import annotations

import sqlite3
from pathlib import Path

from alembic import command
from alembic.config import Config
from sqlalchemy import Connection, Engine, text

from tracker.errors import BadFileError
from tracker.store import engine as db
from tracker.store.history import STATE, alter
from tracker.store.migrating import revision
from tracker.store.sharing import protect
from tracker.store.version import SCHEMA

MIGRATIONS = Path(__file__).with_name("migrations")


def upgrade(engine: Engine, file: Path | None, found: int) -> Path | None:
    """Bring the tables from version `found` to this one; return the copy made before.

    Foreign keys are off meanwhile: with them on, rebuilding a parent table would delete its
    children. They are all checked before the commit.
    """
    copy = _copied(file, found) if file else None
    with engine.connect().execution_options(**{db.WRITES: db.TABLES}) as connection:
        if file:
            driver = connection.connection.driver_connection
            driver.execute("PRAGMA foreign_keys = OFF")  # type: ignore[union-attr]
        with connection.begin():
            if db.schema_version(connection) == found:
                run(connection)
        connection.invalidate()  # the next connection has its foreign keys on
    return copy


def run(connection: Connection) -> None:
    """Run the missing migrations on a connection inside a transaction."""
    config = Config()
    config.set_main_option("script_location", str(MIGRATIONS))
    config.attributes["connection"] = connection
    command.upgrade(config, revision(SCHEMA))
    if db.is_file(connection) and connection.execute(text("PRAGMA foreign_key_check")).first():
        raise BadFileError("the migration would leave records without their swimmer; nothing was changed")
    row = connection.execute(STATE.select().where(STATE.c.name == "schema")).mappings().one_or_none()
    if row:
        alter(connection, STATE, row["id"], value=str(SCHEMA))
    protect(connection)
    db.mark_schema(connection, SCHEMA)


def _copied(file: Path, found: int) -> Path:
    """Copy the database beside itself; an older copy of the same step is kept."""
    number = 0
    while True:
        suffix = f"-{number}" if number else ""
        copy = file.with_name(f"{file.stem}-before-{revision(found + 1)}{suffix}.db")
        if not copy.exists():
            break
        number += 1
    db.make_private_file(copy)
    source, target = sqlite3.connect(file), sqlite3.connect(copy)
    try:
        source.backup(target)
    finally:
        source.close()
        target.close()
    return copy
