from __future__ import annotations

import datetime as dt
import shutil
import signal
import sqlite3
import subprocess
import sys
import textwrap
import time
from contextlib import closing
from pathlib import Path

import pytest
from alembic.script import ScriptDirectory
from sqlalchemy import Engine

from tests.store.next_version import HEAD, NEXT
from tracker.errors import BadFileError
from tracker.model.swim import Swim
from tracker.store import engine as db
from tracker.store.checking import check_file
from tracker.store.checksums import has_digest, write_digest
from tracker.store.database import Store
from tracker.store.migrating import MIGRATIONS, revision, run, upgrade
from tracker.store.structure import Part, expected_structure, structure_of
from tracker.store.version import SCHEMA

pytestmark = pytest.mark.file_only(reason="files of old versions; for a server see test_server")

SCHEMAS = Path(__file__).with_name("schemas")

LATER = (
    textwrap.dedent(
        '''
    """A later version, for the test: the swimmers' table is rebuilt."""
    import sqlalchemy as sa
    from alembic import op

    from tracker.store.migrations.batch import altered

    revision = "NEXT"
    down_revision = "HEAD"

    def upgrade() -> None:
        with altered("swimmer") as batch:
            batch.add_column(sa.Column("lane", sa.Integer(), nullable=True))
            batch.create_check_constraint("swimmer_lane", '"lane" > 0')
    '''
    )
    .replace("NEXT", NEXT)
    .replace("HEAD", HEAD)
)


def schema(engine: Engine) -> set[Part]:
    with engine.connect() as connection:
        return structure_of(connection.connection.driver_connection)


def test_the_migrations_make_the_tables_that_a_new_database_has(store: Store, tmp_path: Path) -> None:
    file = tmp_path / "migrated.db"
    engine = db.make_engine(db.address_of(file))
    with engine.connect().execution_options(**{db.WRITES: db.TABLES}) as connection, connection.begin():
        run(connection, SCHEMA)
    migrated = schema(engine)
    engine.dispose()
    assert migrated == schema(store.engine) == expected_structure(SCHEMA)


def test_the_migrations_are_one_line_without_a_fork() -> None:
    script = ScriptDirectory(str(MIGRATIONS))
    assert script.get_heads() == [revision(SCHEMA)]
    assert len(list(script.walk_revisions())) == SCHEMA


@pytest.mark.parametrize("version", range(1, SCHEMA + 1))
def test_a_real_file_of_every_version_opens_with_all_it_holds(tmp_path: Path, version: int) -> None:
    file = tmp_path / "old.db"
    shutil.copyfile(SCHEMAS / f"{revision(version)}.db", file)
    file.chmod(0o600)
    with closing(sqlite3.connect(file)) as connection:
        before = connection.execute("SELECT swimmer, date, time_s, note FROM swim ORDER BY id").fetchall()
    store = Store.open(file)
    with store.read() as reader:
        swims = [kept.record for kept in reader.all(Swim)]
        assert [(s.swimmer, s.date.isoformat(), s.time_s, s.note) for s in swims] == before
        assert len(reader.history()) >= 1
    store.undo(at=dt.datetime(2026, 6, 30, tzinfo=dt.UTC))
    store.close()
    assert check_file(file, full=True) == []


@pytest.fixture
def later(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Migrations with a later version that rebuilds the parent of almost everything."""
    folder = tmp_path / "migrations"
    shutil.copytree(MIGRATIONS, folder, ignore=shutil.ignore_patterns("__pycache__"))
    (folder / "versions" / "v9999_lane.py").write_text(LATER)
    monkeypatch.setattr("tracker.store.migrating.MIGRATIONS", folder)
    monkeypatch.setattr("tracker.store.migrating.SCHEMA", SCHEMA + 1)
    return folder


def old_file(tmp_path: Path) -> Path:
    file = tmp_path / "club.db"
    shutil.copyfile(SCHEMAS / "0001.db", file)
    file.chmod(0o600)
    return file


def rows(file: Path) -> tuple[list[tuple[str, ...]], list[tuple[str, ...]], int]:
    with closing(sqlite3.connect(file)) as connection:
        return (
            connection.execute("SELECT swimmer, uid FROM swimmer ORDER BY id").fetchall(),
            connection.execute("SELECT swimmer, date, time_s FROM swim ORDER BY id").fetchall(),
            connection.execute("PRAGMA user_version").fetchone()[0],
        )


@pytest.mark.usefixtures("later")
def test_rebuilding_a_parent_keeps_its_children_and_a_copy_of_before(tmp_path: Path) -> None:
    file = old_file(tmp_path)
    before = rows(file)
    write_digest(file)
    engine = db.make_engine(db.address_of(file))
    copy = upgrade(engine, file, 1)
    assert not has_digest(file)
    with engine.connect() as connection:
        assert connection.exec_driver_sql("PRAGMA foreign_keys").scalar() == 1
        assert connection.exec_driver_sql("PRAGMA foreign_key_check").fetchall() == []
    engine.dispose()
    assert rows(file) == (*before[:2], SCHEMA + 1)
    assert copy is not None
    assert rows(copy) == before
    assert copy.stat().st_mode & 0o077 == 0


def test_a_migration_that_fails_leaves_the_old_database_and_can_be_tried_again(
    tmp_path: Path, later: Path
) -> None:
    file = old_file(tmp_path)
    before = rows(file)
    module = later / "versions" / "v9999_lane.py"
    module.write_text(LATER + "\n    op.execute('SELECT no_such_column FROM swimmer')\n")  # noqa: S608
    engine = db.make_engine(db.address_of(file))
    with pytest.raises(Exception, match="no_such_column"):
        upgrade(engine, file, 1)
    assert rows(file) == before
    with closing(sqlite3.connect(file)) as connection:
        assert not connection.execute("SELECT 1 FROM sqlite_master WHERE name LIKE '_alembic%'").fetchall()
    module.write_text(LATER)
    upgrade(engine, file, 1)
    engine.dispose()
    assert rows(file) == (*before[:2], SCHEMA + 1)
    assert len(list(tmp_path.glob(f"club-before-{revision(2)}*.db"))) == 2


def test_children_left_behind_stop_the_migration(tmp_path: Path, later: Path) -> None:
    file = old_file(tmp_path)
    before = rows(file)
    module = later / "versions" / "v9999_lane.py"
    module.write_text(LATER + "\n    op.execute('DELETE FROM swimmer')\n")  # noqa: S608
    engine = db.make_engine(db.address_of(file))
    with pytest.raises(BadFileError, match="without their swimmer"):
        upgrade(engine, file, 1)
    engine.dispose()
    assert rows(file) == before


def test_a_kill_in_the_middle_leaves_the_old_or_the_new(tmp_path: Path, later: Path) -> None:
    """The migration is killed at a point of its own choosing: after all its changes, before the commit."""
    file = old_file(tmp_path)
    before = rows(file)
    module = later / "versions" / "v9999_lane.py"
    module.write_text(
        LATER
        + "\n    import pathlib, time\n    pathlib.Path(op.get_bind().engine.url.database + '.there').touch()"
        "\n    time.sleep(60)\n"
    )
    code = (
        "import sys, pathlib; import tracker.store.migrating as u; from tracker.store import engine as db;"
        "u.MIGRATIONS = pathlib.Path(sys.argv[1]); u.SCHEMA += 1; f = pathlib.Path(sys.argv[2]);"
        "u.upgrade(db.make_engine(db.address_of(f)), f, 1)"
    )
    process = subprocess.Popen([sys.executable, "-c", code, str(later), str(file)])
    try:
        until = time.monotonic() + 30
        while not Path(f"{file}.there").exists() and time.monotonic() < until:
            time.sleep(0.02)
        assert process.poll() is None
    finally:
        process.send_signal(signal.SIGKILL)
        process.wait()
    assert rows(file) == before
    module.write_text(LATER)  # the next try is not killed, and need not wait for it
    assert Store.open(file).address == str(file)
