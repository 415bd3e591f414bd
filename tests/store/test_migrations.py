from __future__ import annotations

import re
from pathlib import Path

from sqlalchemy import Engine

from tracker.store import engine as db
from tracker.store.database import Store
from tracker.store.upgrade import run


def schema(engine: Engine) -> set[str]:
    with engine.connect() as connection:
        rows = connection.exec_driver_sql("SELECT sql FROM sqlite_master WHERE sql IS NOT NULL")
        return {" ".join(sorted(re.split(r"[,()\s]+", sql))) for (sql,) in rows}


def test_the_migrations_make_the_tables_that_a_new_database_has(store: Store, tmp_path: Path) -> None:
    file = tmp_path / "migrated.db"
    engine = db.make_engine(db.address_of(file))
    with engine.connect().execution_options(**{db.WRITES: True}) as connection, connection.begin():
        run(connection)
    migrated = schema(engine)
    engine.dispose()
    assert migrated == schema(store.engine)
