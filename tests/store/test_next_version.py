"""A whole migration as its user meets it: an old file, the next version of the program."""

from __future__ import annotations

import datetime as dt
import hashlib
import json
import signal
import sqlite3
import subprocess
import sys
from contextlib import closing
from pathlib import Path
from typing import Any

import pytest

from tests.store.next_version import DIES, NEXT, Program, make_next_version
from tracker.errors import BadFileError
from tracker.model.event import Event
from tracker.model.swim import Swim
from tracker.model.swimmer import Swimmer
from tracker.store.checking import check_file
from tracker.store.copies import copy_file
from tracker.store.database import Store
from tracker.store.version import SCHEMA

pytestmark = pytest.mark.file_only(reason="about files; a server is in test_next_version_on_server")

NOW = dt.datetime(2026, 6, 30, 12, 0, tzinfo=dt.UTC)
DAY = dt.date(2026, 5, 4)
ANA, BO = "Ana Prova", "Bo Prova"


@pytest.fixture(scope="module")
def later(tmp_path_factory: pytest.TempPathFactory) -> Program:
    return make_next_version(tmp_path_factory.mktemp("later"))


def a_swim(time_s: float, **fields: Any) -> Swim:
    return Swim(date=DAY, swimmer=ANA, test="t400", distance_m=400, time_s=time_s, **fields)


def log(store: Store, what: str, *records: Swim | Swimmer | Event) -> None:
    with store.write(who="coach", what=what, at=NOW) as writer:
        writer.add(records)


def fill(store: Store) -> None:
    """Rows that stand, one changed, one removed, one taken back: undo and redo keep something of each."""
    log(store, "begin", Swimmer(swimmer=ANA), Swimmer(swimmer=BO))
    log(store, "log", a_swim(405.5, note="ünïcode", rest_s=30, strokes="17 18"), a_swim(404))
    log(store, "event", Event(from_date=DAY, swimmer=ANA, kind="camp"))
    with store.write(who="coach", what="correct", at=NOW) as writer:
        writer.change(Swim, 1, time_s=399.25)
    with store.write(who="coach", what="delete", at=NOW) as writer:
        writer.remove(Swim, 2)
    log(store, "too much", a_swim(300))
    store.undo(at=NOW)


@pytest.fixture
def old(tmp_path: Path) -> Path:
    """A file of this version."""
    file = tmp_path / "club.db"
    store = Store.open(file)
    fill(store)
    store.close()
    return file


def whole(file: Path) -> str:
    return f"{file}: whole; no backup yet\n"


def rows(file: Path, table: str = "swim") -> list[tuple[Any, ...]]:
    with closing(sqlite3.connect(file)) as connection:
        return connection.execute(f"SELECT * FROM {table} ORDER BY id").fetchall()  # noqa: S608


def version(file: Path) -> int:
    with closing(sqlite3.connect(file)) as connection:
        return int(connection.execute("PRAGMA user_version").fetchone()[0])


def test_an_old_file_is_whole_under_the_next_version(old: Path, later: Program) -> None:
    assert later("--db", str(old), "swims", ANA).returncode == 0
    assert version(old) == SCHEMA + 1
    checked = later("--db", str(old), "check")
    assert (checked.returncode, checked.stdout) == (0, whole(old)), checked


@pytest.mark.thorough
def test_an_old_file_is_looked_at_as_what_it_is_and_left_so(old: Path, later: Program) -> None:
    """Whoever checks before anything else must not be told to restore a backup."""
    before = hashlib.sha256(old.read_bytes()).digest()
    checked = later("--db", str(old), "check")
    assert (checked.returncode, checked.stdout) == (0, whole(old)), checked
    assert hashlib.sha256(old.read_bytes()).digest() == before
    with closing(sqlite3.connect(old)) as connection:
        connection.execute("UPDATE swim SET time_s = 390 WHERE id = 1")
        connection.commit()
    checked = later("--db", str(old), "check")
    assert "swim 1: the row is not as it was written" in checked.stdout


WALK = """
import datetime as dt, json, sqlite3, sys
from pathlib import Path
from contextlib import closing
from tracker.errors import UsageError
from tracker.store.checking import check_file
from tracker.store.database import Store
file, now = Path(sys.argv[1]), dt.datetime(2026, 7, 1, tzinfo=dt.UTC)
store, told = Store.open(file), []

def tell(what):
    assert check_file(file, full=True) == [], (what, check_file(file, full=True))
    with closing(sqlite3.connect(file)) as connection:
        connection.row_factory = sqlite3.Row
        state = {table: [dict(row) for row in connection.execute(f"SELECT * FROM {table} ORDER BY id")]
                 for table in ("swimmer", "swim", "event")}
    with store.read() as reader:
        told.append([what, state, [[line.what, line.state] for line in reader.history()]])

def all_the_way(step):
    while True:
        try:
            tell(step())
        except UsageError:
            return

all_the_way(lambda: store.redo(at=now))
all_the_way(lambda: store.undo(at=now))
all_the_way(lambda: store.redo(at=now))
print(json.dumps(told))
"""


@pytest.mark.thorough
def test_undo_and_redo_go_across_the_version_as_they_would_have_without(
    old: Path, later: Program, tmp_path: Path
) -> None:
    """Every step leaves what the old program leaves, and the new fields as nobody has said anything."""
    twin = tmp_path / "twin.db"
    copy_file(old, twin)
    walked = later.python(WALK, str(old))
    assert walked.returncode == 0, walked.stderr
    wanted = subprocess.run(
        [sys.executable, "-c", WALK, str(twin)], capture_output=True, text=True, check=True
    )
    steps, wanted_steps = json.loads(walked.stdout), json.loads(wanted.stdout)
    assert [what for what, _, _ in steps] == [what for what, _, _ in wanted_steps]
    assert len(steps) == 1 + 6 + 6
    for _, state, _ in steps:
        for swim in state["swim"]:
            assert (swim.pop("planted_lane"), swim.pop("planted_heat")) == (None, "")
    for _, state, _ in (*steps, *wanted_steps):
        for row in (row for table in state.values() for row in table):
            row.pop("seal")
    assert steps == wanted_steps


ADD = """
import datetime as dt, json, sys
from tracker.model.event import Event
from tracker.model.swim import Swim
from tracker.store.database import Store
now, day = dt.datetime(2026, 7, 1, tzinfo=dt.UTC), dt.date(2026, 6, 1)
store = Store.open(sys.argv[1])
swim = dict(date=day, swimmer="Ana Prova", test="t400", distance_m=400, time_s=401)
with store.write(who="coach", what="new", at=now) as writer:
    numbers = writer.add([Swim(**swim, planted_lane=4, planted_heat="b"),
                          Event(from_date=day, swimmer="Ana Prova", kind="planted")])
    writer.change(Swim, 1, planted_lane=7)
with store.read() as reader:
    swims = {kept.id: [kept.record.planted_lane, kept.record.planted_heat] for kept in reader.all(Swim)}
    kinds = [kept.record.kind for kept in reader.all(Event)]
store.close()
print(json.dumps([numbers, swims, kinds]))
"""


@pytest.mark.thorough
def test_what_is_new_can_be_said_and_no_number_is_given_out_twice(old: Path, later: Program) -> None:
    """Swim 3 is away, taken back before the migration, so the next is the fourth."""
    added = later.python(ADD, str(old))
    assert added.returncode == 0, added.stderr
    assert json.loads(added.stdout) == [[4, 2], {"1": [7, ""], "4": [4, "b"]}, ["camp", "planted"]]
    assert later("--db", str(old), "check").stdout == whole(old)
    assert later("--db", str(old), "undo").returncode == 0
    assert later("--db", str(old), "check").stdout == whole(old)
    assert [row[0] for row in rows(old)] == [1]


@pytest.mark.parametrize(
    ("harm", "where"),
    [
        ("UPDATE swim SET time_s = 390 WHERE id = 1", "swim 1"),
        pytest.param(
            "UPDATE history_step SET content = x'00' WHERE id = 5",
            "history_step 5",
            marks=pytest.mark.thorough,
        ),
    ],
)
def test_damage_is_neither_made_good_nor_in_the_way(old: Path, later: Program, harm: str, where: str) -> None:
    """The owner can go on; `check` names the row as it did before."""
    with closing(sqlite3.connect(old)) as connection:
        connection.execute(harm)
        connection.commit()
    assert later("--db", str(old), "swims", ANA).returncode == 0
    checked = later("--db", str(old), "check")
    assert (checked.returncode, checked.stdout) == (1, f"{where}: the row is not as it was written\n")


def test_tables_that_are_not_ours_are_refused_in_one_line(old: Path, later: Program) -> None:
    with closing(sqlite3.connect(old)) as connection:
        connection.execute("PRAGMA writable_schema = ON")
        connection.execute(
            "UPDATE sqlite_master SET sql = replace(sql, 'event_kind', 'x') WHERE name = 'event'"
        )
        connection.commit()
    before = rows(old)
    ran = later("--db", str(old), "swims", ANA)
    assert (ran.returncode, ran.stderr.count("\n")) == (4, 1), ran
    assert "not as slackwater made them" in ran.stderr
    assert (version(old), rows(old)) == (SCHEMA, before)


@pytest.mark.thorough
def test_an_old_backup_comes_back_under_the_next_version(old: Path, later: Program, tmp_path: Path) -> None:
    backup = tmp_path / "backups" / "c.db"
    backup.parent.mkdir()
    copy_file(old, backup)
    assert later("--db", str(old), "swimmer", "erase", ANA, "--yes").returncode == 0
    restored = later("--db", str(old), "restore", str(backup), "--yes")
    assert restored.returncode == 0, restored.stderr
    checked = later("--db", str(old), "check")
    assert (checked.returncode, checked.stdout) == (0, whole(old)), checked
    with closing(sqlite3.connect(old)) as connection:
        assert connection.execute("SELECT swimmer FROM swimmer").fetchall() == [(BO,)]
        assert connection.execute("SELECT count(*) FROM tombstone").fetchall() == [(1,)]
    left = {path.name for path in tmp_path.iterdir() if path.name not in {"backups", old.name}}
    (aside,) = (name for name in left if "before-restore" in name)
    assert left == {f"club-before-{NEXT}.db", aside, "club.db-digest"}, "nothing hidden holds who was erased"
    assert version(backup) == SCHEMA


def test_a_damaged_old_backup_is_refused(old: Path, later: Program, tmp_path: Path) -> None:
    copy_file(old, tmp_path / "c.db")
    with closing(sqlite3.connect(tmp_path / "c.db")) as connection:
        connection.execute("UPDATE swim SET time_s = 390 WHERE id = 1")
        connection.commit()
    before = hashlib.sha256(old.read_bytes()).digest()
    refused = later("--db", str(old), "restore", str(tmp_path / "c.db"), "--yes")
    assert refused.returncode == 4
    assert "swim 1" in refused.stderr
    assert hashlib.sha256(old.read_bytes()).digest() == before


@pytest.mark.thorough
def test_a_window_left_open_writes_no_more_after_another_has_migrated(old: Path, later: Program) -> None:
    """Its rows would lack the new fields, and their checksums would not fit."""
    window = Store.open(old)
    with window.read() as reader:
        assert reader.labels() == [ANA, BO]
    assert later("--db", str(old), "swims", ANA).returncode == 0
    before = rows(old), rows(old, "history_entry")
    with pytest.raises(BadFileError, match="later slackwater"):
        log(window, "late", a_swim(400))
    with pytest.raises(BadFileError, match="later slackwater"):
        window.undo(at=NOW)
    window.close()
    assert (rows(old), rows(old, "history_entry")) == before
    assert later("--db", str(old), "check").stdout == whole(old)
    assert [one.what for one in check_file(old, full=True)] == [
        f"a later slackwater made it (tables {SCHEMA + 1}, this one knows {SCHEMA}); update it"
    ]


OPEN = """
import sys
from pathlib import Path
from tracker.store.checking import check_file
from tracker.store.database import Store
Store.open(sys.argv[1]).close()
print(check_file(Path(sys.argv[1]), full=True))
"""


@pytest.mark.parametrize(
    ("module", "name", "call", "is_new"),
    [
        pytest.param("tracker.store.copies", "verified", 1, False, marks=pytest.mark.thorough),
        pytest.param("tracker.store.migrations.batch", "altered", 2, False, marks=pytest.mark.thorough),
        ("tracker.store.migrating", "renew_checksums", 1, False),
        pytest.param("tracker.store.sqlite.SQLite", "mark_schema", 1, False, marks=pytest.mark.thorough),
        pytest.param("sqlalchemy.Connection", "invalidate", 1, True, marks=pytest.mark.thorough),
    ],
)
def test_killed_at_any_point_it_is_the_old_or_the_new_and_whole(
    old: Path, later: Program, module: str, name: str, call: int, *, is_new: bool
) -> None:
    before = rows(old)
    killed = later.python(DIES, str(old), module, name, str(call))
    assert killed.returncode == -signal.SIGKILL, killed.stderr
    if is_new:
        assert version(old) == SCHEMA + 1
    else:
        assert (version(old), rows(old), check_file(old, full=True)) == (SCHEMA, before, [])
    opened = later.python(OPEN, str(old))
    assert (opened.returncode, opened.stdout) == (0, "[]\n"), opened.stderr
    assert version(old) == SCHEMA + 1
    assert [row[3:] for row in rows(old)] == [(*row[3:], None, "") for row in before]
    assert not list(old.parent.glob(".*")), "half a copy is left behind"
