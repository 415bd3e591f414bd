"""The schema's version, making the tables, and bringing an older file up to date.

Alembic is imported only when there is something to migrate: every command opens the database.

What holds for every migration is done here, so that none can forget it: foreign keys, the counters
of row numbers, the rows' checksums, row security on a server.
"""

from __future__ import annotations

import secrets
from pathlib import Path

from alembic import command
from alembic.config import Config
from alembic.util import CommandError
from sqlalchemy import Column, Connection, Engine, MetaData, PrimaryKeyConstraint, String, Table, select

from tracker.errors import BadFileError
from tracker.remedies import Mend
from tracker.store import engine as db
from tracker.store.checksum_renewal import damaged_rows, renew_checksums
from tracker.store.copies import copy_file
from tracker.store.history import STATE, insert_row, update_row
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
        backend = db.backend_of(connection)
        backend.protect(connection)
        backend.mark_schema(connection, SCHEMA)


MIGRATIONS = Path(__file__).with_name("migrations")


def upgrade(engine: Engine, file: Path | None, from_version: int, *, copied: bool = True) -> Path | None:
    """Bring the tables from version `from_version` to this one; return the copy made before.

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
            if db.schema_version(connection) == from_version:
                db.backend_of(connection).keep_others_out(connection)
                if file and copied:
                    copy = _copied(file, from_version)
                run(connection, SCHEMA)
        connection.invalidate()  # the next connection has its foreign keys on
    return copy


def run(connection: Connection, version: int) -> None:
    """Run the missing migrations up to a version on a connection inside a transaction."""
    damaged, backend = damaged_rows(connection), db.backend_of(connection)
    config = Config()
    config.set_main_option("script_location", str(MIGRATIONS))
    config.attributes["connection"] = connection
    with backend.migrating(connection):
        try:
            command.upgrade(config, revision(version))
        except (CommandError, LookupError, ValueError) as error:  # Alembic misses a table, column or rule
            raise BadFileError(
                "the tables are not as slackwater made them, and cannot be brought up to date; "
                "nothing was changed",
                Mend.CHECK_OR_RESTORE,
            ) from error
    number = connection.execute(select(STATE.c.id).where(STATE.c.name == "schema")).scalar()
    if number:
        update_row(connection, STATE, number, value=str(version))
    renew_checksums(connection, damaged)
    backend.protect(connection)
    backend.mark_schema(connection, version)


def _copied(file: Path, found: int) -> Path:
    """Copy the database beside itself; an older copy of the same step stays."""
    stem = f"{file.stem}-before-{revision(found + 1)}"
    names = (f"{stem}.db", *(f"{stem}-{number}.db" for number in range(1, 1000)))
    copy = next(path for name in names if not (path := file.with_name(name)).exists())
    return copy_file(file, copy).path
