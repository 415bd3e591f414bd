"""Bringing a database to the tables of this version: new ones at once, old ones by Alembic.

Alembic is imported only when there is something to migrate: every command opens the database.
"""

from __future__ import annotations

import secrets

from sqlalchemy import Column, Engine, MetaData, PrimaryKeyConstraint, String, Table

from tracker.store import engine as db
from tracker.store.history import STATE, put
from tracker.store.sharing import protect
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
            put(connection, STATE, {"name": name, "value": value})
        protect(connection)
        db.mark_schema(connection, SCHEMA)
