"""The schema's version, making the tables, and bringing an older file up to date.

Alembic is imported only when there is something to migrate: every command opens the database.

What holds for every migration is done here, so that none can forget it: foreign keys, the counters
of row numbers, the rows' seals, who sees what on a server.
"""

from __future__ import annotations

import secrets
from pathlib import Path

from alembic import command
from alembic.config import Config
from alembic.util import CommandError
from sqlalchemy import Column, Connection, Engine, MetaData, PrimaryKeyConstraint, String, Table, select, text

from tracker.errors import BadFileError, UsageError
from tracker.remedies import Mend
from tracker.store import engine as db
from tracker.store.checksum_renewal import damaged_rows, renew_checksums
from tracker.store.copies import copy_file
from tracker.store.history import STATE, insert_row, update_row
from tracker.store.sharing import is_keeper, protect
from tracker.store.tables import METADATA
from tracker.store.version import SCHEMA

STAMP = Table(
    "alembic_version",
    MetaData(),
    Column("version_num", String(32), nullable=False),
    PrimaryKeyConstraint("version_num", name="alembic_version_pkc"),
)
"""As Alembic makes it."""


def revision(version: int) -> str:
    """Return Alembic's name of a version of the tables."""
    return f"{version:04d}"


def make_tables(engine: Engine) -> None:
    """Create all tables in an empty database, in one transaction; does nothing if they are there."""
    with engine.connect().execution_options(**{db.WRITES: db.TABLES}) as connection, connection.begin():
        if db.schema_version(connection):
            return
        METADATA.create_all(connection)
        STAMP.create(connection)
        connection.execute(STAMP.insert().values(version_num=revision(SCHEMA)))
        for name, value in (("schema", str(SCHEMA)), ("changes", "0"), ("birth", secrets.token_hex(8))):
            insert_row(connection, STATE, {"name": name, "value": value})
        protect(connection)
        db.mark_schema(connection, SCHEMA)


MIGRATIONS = Path(__file__).with_name("migrations")


def upgrade(engine: Engine, file: Path | None, found: int, *, copied: bool = True) -> Path | None:
    """Bring the tables from version `found` to this one; return the copy made before.

    Foreign keys are off meanwhile: with them on, rebuilding a parent table would delete its
    children. They are all checked before the commit.

    Parameters
    ----------
    copied
        Whether to copy a file beside itself first; another that upgrades it meanwhile waits.

    Raises
    ------
    UsageError
        If the login may not, or does not see every row.
    BadFileError
        If the tables are not as they were made; nothing is changed.
    """
    copy = None
    with engine.connect().execution_options(**{db.WRITES: db.TABLES}) as connection:
        if file:
            driver = connection.connection.driver_connection
            driver.execute("PRAGMA foreign_keys = OFF")  # type: ignore[union-attr]
        with connection.begin():
            if db.schema_version(connection) == found:
                if not file:
                    _keep_others_out(connection)
                elif copied:
                    copy = _copied(file, found)
                run(connection, SCHEMA)
        connection.invalidate()  # the next connection has its foreign keys on
    return copy


def run(connection: Connection, version: int) -> None:
    """Run the missing migrations up to a version on a connection inside a transaction."""
    damaged, counters = damaged_rows(connection), _counters(connection)
    config = Config()
    config.set_main_option("script_location", str(MIGRATIONS))
    config.attributes["connection"] = connection
    try:
        command.upgrade(config, revision(version))
    except (CommandError, LookupError, ValueError) as error:  # Alembic misses a table, column or rule
        raise BadFileError(
            "the tables are not as slackwater made them, and cannot be brought up to date; "
            "nothing was changed",
            Mend.CHECK_OR_RESTORE,
        ) from error
    if db.is_file(connection) and connection.execute(text("PRAGMA foreign_key_check")).first():
        raise BadFileError("the migration would leave records without their swimmer; nothing was changed")
    _count_on(connection, counters)
    number = connection.execute(select(STATE.c.id).where(STATE.c.name == "schema")).scalar()
    if number:
        update_row(connection, STATE, number, value=str(version))
    renew_checksums(connection, damaged)
    protect(connection)
    db.mark_schema(connection, version)


def _keep_others_out(connection: Connection) -> None:
    """Keep coaches from writing meanwhile; only who owns the tables and sees all rows may change them."""
    if not is_keeper(connection):
        raise UsageError(
            "the tables are of an earlier slackwater; the login that made them, and sees every swimmer, "
            "brings them up to date by any command"
        )
    connection.exec_driver_sql("LOCK TABLE state IN EXCLUSIVE MODE")


def _counters(connection: Connection) -> dict[str, int]:
    """Return table -> highest row number ever given out; a server keeps its own through any change."""
    there = "SELECT count(*) FROM sqlite_master WHERE name = 'sqlite_sequence'"
    if not (db.is_file(connection) and connection.exec_driver_sql(there).scalar()):
        return {}
    return {
        name: int(most) for name, most in connection.exec_driver_sql("SELECT name, seq FROM sqlite_sequence")
    }


def _count_on(connection: Connection, counters: dict[str, int]) -> None:
    """Go on counting after the highest number given out: its row may be away, and undo brings it back."""
    for name, most in counters.items():
        statement = "UPDATE sqlite_sequence SET seq = max(seq, ?) WHERE name = ?"
        if not connection.exec_driver_sql(statement, (most, name)).rowcount:
            there = "SELECT count(*) FROM sqlite_master WHERE type = 'table' AND name = ?"
            if connection.exec_driver_sql(there, (name,)).scalar():
                connection.exec_driver_sql("INSERT INTO sqlite_sequence VALUES (?, ?)", (name, most))


def _copied(file: Path, found: int) -> Path:
    """Copy the database beside itself; an older copy of the same step is kept."""
    stem = f"{file.stem}-before-{revision(found + 1)}"
    names = (f"{stem}.db", *(f"{stem}-{number}.db" for number in range(1, 1000)))
    copy = next(path for name in names if not (path := file.with_name(name)).exists())
    return copy_file(file, copy).path
