from __future__ import annotations

import datetime as dt
import os
import sqlite3
import stat
import threading
from contextlib import closing
from pathlib import Path

import pytest

from tests.builders import a_session
from tracker.app.check import check_at_start, check_store
from tracker.app.copies import back_up, restore
from tracker.errors import BadFileError, BusyError, SlackwaterError, UsageError
from tracker.model.swim import Swim
from tracker.model.swimmer import Swimmer
from tracker.store.checking import check_file, mend
from tracker.store.copies import copy_file, dated_name, rotate, verified
from tracker.store.database import Store

pytestmark = pytest.mark.file_only(reason="a server is copied, checked and restored by its own tools")

DAY = dt.date(2026, 5, 4)
ANA = "Ana Prova"


def filled(store: Store, now: dt.datetime, count: int = 5) -> Path:
    with store.write(who="c", what="fill", at=now) as writer:
        swims = [Swim(date=DAY, swimmer=ANA, distance_m=400, time_s=400 + place) for place in range(count)]
        writer.add([Swimmer(swimmer=ANA), *swims])
    assert store.file is not None
    return store.file


def test_a_copy_of_an_open_database_is_complete_and_alone(
    store: Store, now: dt.datetime, tmp_path: Path
) -> None:
    file = filled(store, now)
    copied = copy_file(file, tmp_path / "copy" / "c.db")
    assert copied.rows["swim"] == 5
    assert [path.name for path in (tmp_path / "copy").iterdir()] == ["c.db"]
    with Store.open(copied.path).read() as reader:
        assert reader.count(Swim) == 5


@pytest.mark.parametrize("umask", [0o000, 0o022, 0o077])
def test_a_copy_is_its_owners_alone(store: Store, now: dt.datetime, tmp_path: Path, umask: int) -> None:
    """CWE-276."""
    file = filled(store, now)
    before = os.umask(umask)
    try:
        copy_file(file, tmp_path / "copy" / "c.db")
    finally:
        os.umask(before)
    assert stat.S_IMODE((tmp_path / "copy" / "c.db").stat().st_mode) == 0o600
    assert stat.S_IMODE((tmp_path / "copy").stat().st_mode) == 0o700


def test_copies_under_a_writer_are_each_of_one_moment(store: Store, now: dt.datetime, tmp_path: Path) -> None:
    file = filled(store, now)
    stop = threading.Event()

    def write() -> None:
        own = Store.open(file)
        while not stop.is_set():
            with own.write(who="w", what="two", at=now) as writer:
                writer.add([Swim(date=DAY, swimmer=ANA, distance_m=400, time_s=450)] * 2)
        own.close()

    thread = threading.Thread(target=write)
    thread.start()
    try:
        for place in range(5):
            copied = copy_file(file, tmp_path / f"{place}.db")
            assert copied.rows["swim"] % 2 == 1  # five, and two with every transaction
    finally:
        stop.set()
        thread.join()


def test_an_existing_file_is_kept_unless_told_and_never_the_database_itself(
    store: Store, now: dt.datetime, tmp_path: Path
) -> None:
    file = filled(store, now)
    (tmp_path / "c.db").write_text("mine")
    with pytest.raises(UsageError, match="exists already"):
        copy_file(file, tmp_path / "c.db")
    with pytest.raises(UsageError, match="itself"):
        copy_file(file, file, force=True)
    copy_file(file, tmp_path / "c.db", force=True)
    assert verified(tmp_path / "c.db")[0]["swim"] == 5


def test_a_copy_that_fails_leaves_nothing(
    store: Store, now: dt.datetime, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    file = filled(store, now)
    monkeypatch.setattr("tracker.store.copies.verified", lambda _part: ({}, "other"))
    with pytest.raises(SlackwaterError, match="differs"):
        copy_file(file, tmp_path / "copy" / "c.db")
    assert list((tmp_path / "copy").iterdir()) == []


def test_rotation_keeps_the_latest_and_touches_nothing_else(
    store: Store, now: dt.datetime, tmp_path: Path
) -> None:
    filled(store, now)
    folder = tmp_path / "copies"
    folder.mkdir()
    (folder / "diary.db").write_text("mine")
    for day in range(5):
        back_up(a_session(store, now=now + dt.timedelta(days=day)), folder, keep=2)
    kept = [dated_name(now + dt.timedelta(days=day)) for day in (3, 4)]
    assert sorted(path.name for path in folder.iterdir()) == ["diary.db", *kept]
    assert rotate(folder, 1) == [folder / kept[0]]
    with pytest.raises(UsageError, match=r"^keep: 0 is less than 1"):
        back_up(a_session(store, now=now), folder, keep=0)
    with store.read() as reader:
        assert len(reader.copies_made()) == 5


def test_a_backup_comes_back_and_what_was_there_is_kept(
    store: Store, now: dt.datetime, tmp_path: Path
) -> None:
    file = filled(store, now)
    back_up(a_session(store, now=now), tmp_path / "c.db")
    with store.write(who="c", what="more", at=now) as writer:
        writer.add([Swimmer(swimmer="Bo Prova")])
    with store.read() as reader:
        before = reader.data_version()
    done = restore(file, tmp_path / "c.db", at=now)
    with store.read() as reader:  # a window that was open all the time
        assert reader.labels() == [ANA]
        assert reader.data_version() > before
        assert reader.connection.exec_driver_sql("PRAGMA journal_mode").scalar() == "wal"
    assert done.replaced is not None
    with Store.open(done.replaced).read() as reader:
        assert reader.labels() == [ANA, "Bo Prova"]
    assert check_file(file, full=True) == []
    store.undo(at=now)
    with store.read() as reader:
        assert reader.labels() == []


def test_backups_made_before_a_restore_stay_known_after_it(
    store: Store, now: dt.datetime, tmp_path: Path
) -> None:
    """Or a later erasure would not name the backup that holds the person."""
    file = filled(store, now)
    back_up(a_session(store, now=now), tmp_path / "c.db")
    restore(file, tmp_path / "c.db", at=now)
    restore(file, tmp_path / "c.db", at=now)
    with store.read() as reader:
        places = [made.place for made in reader.copies_made()]
    assert places == [str((tmp_path / "c.db").absolute())]


def test_two_restores_of_one_moment_keep_both_databases_they_replace(
    store: Store, now: dt.datetime, tmp_path: Path
) -> None:
    file = filled(store, now)
    copy_file(file, tmp_path / "c.db")
    kept = [restore(file, tmp_path / "c.db", at=now).replaced for _ in range(3)]
    assert len({path for path in kept if path and path.exists()}) == 3


def test_a_damaged_database_is_replaced_too(store: Store, now: dt.datetime, tmp_path: Path) -> None:
    file = filled(store, now, 500)
    back_up(a_session(store, now=now), tmp_path / "c.db")
    store.close()
    raw = bytearray(file.read_bytes())
    raw[4096:12_288] = b"\xff" * 8192
    file.write_bytes(raw)
    assert check_file(file, full=False)
    done = restore(file, tmp_path / "c.db", at=now)
    assert done.replaced is not None
    assert done.replaced.read_bytes()[: len(raw)] == bytes(raw)
    with Store.open(file).read() as reader:
        assert reader.count(Swim) == 500


def test_a_missing_database_is_made_by_restoring(store: Store, now: dt.datetime, tmp_path: Path) -> None:
    filled(store, now)
    back_up(a_session(store, now=now), tmp_path / "c.db")
    restore(tmp_path / "new" / "n.db", tmp_path / "c.db", at=now)
    with Store.open(tmp_path / "new" / "n.db").read() as reader:
        assert reader.count(Swim) == 5


@pytest.mark.parametrize(
    "harm",
    [
        "CREATE TRIGGER t AFTER UPDATE ON swim BEGIN DELETE FROM swimmer; END",
        "CREATE VIEW v AS SELECT load_extension('x')",
        "CREATE TABLE extra (x)",
        "UPDATE swim SET time_s = 1 WHERE id = 1",
        "DROP INDEX swim_order",
    ],
)
def test_a_strangers_file_is_refused_and_nothing_of_it_run(
    store: Store, now: dt.datetime, tmp_path: Path, harm: str
) -> None:
    file = filled(store, now)
    back_up(a_session(store, now=now), tmp_path / "c.db")
    connection = sqlite3.connect(tmp_path / "c.db")
    connection.execute(harm)
    connection.commit()
    connection.close()
    store.close()
    before = file.read_bytes()
    with pytest.raises(BadFileError):
        restore(file, tmp_path / "c.db", at=now)
    assert file.read_bytes() == before
    assert not list(file.parent.glob("*restor*"))


@pytest.mark.parametrize("content", [b"", b"SQLite format 3\x00", b"no database" * 100])
def test_what_is_no_backup_is_refused(store: Store, now: dt.datetime, tmp_path: Path, content: bytes) -> None:
    file = filled(store, now)
    (tmp_path / "c.db").write_bytes(content)
    with pytest.raises(BadFileError):
        restore(file, tmp_path / "c.db", at=now)
    with pytest.raises(BadFileError, match="no file"):
        restore(file, tmp_path / "none.db", at=now)
    with pytest.raises(UsageError, match="itself"):
        restore(file, file, at=now)


def test_restoring_waits_for_a_writer_and_then_says_so(
    store: Store, now: dt.datetime, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    file = filled(store, now)
    back_up(a_session(store, now=now), tmp_path / "c.db")
    monkeypatch.setattr("tracker.store.restoring._TRIES", 2)
    monkeypatch.setattr("tracker.store.restoring._WAIT_S", 0.01)
    with store.write(who="w", what="long", at=now) as writer:
        writer.add([Swimmer(swimmer="Bo Prova")])
        with pytest.raises(BusyError):
            restore(file, tmp_path / "c.db", at=now)
    with store.read() as reader:
        assert reader.labels() == [ANA, "Bo Prova"]


def test_a_sound_database_has_no_findings(store: Store, now: dt.datetime) -> None:
    file = filled(store, now)
    store.undo(at=now)
    store.redo(at=now)
    assert check_file(file, full=False) == []
    assert check_file(file, full=True) == []
    checked = check_store(file)
    assert checked.findings == ()
    assert checked.last_backup is None


@pytest.mark.parametrize(
    ("harm", "said"),
    [
        ("UPDATE swim SET time_s = 390 WHERE id = 1", "not as it was written"),
        ("UPDATE history_entry SET who = 'x'", "not as it was written"),
        ("DELETE FROM alembic_version", "version of the tables"),
        ("PRAGMA application_id = 7", "mark of a slackwater"),
        ("CREATE TABLE extra (x)", "extra is not as slackwater made it"),
        ("DROP INDEX swim_order", "swim_order is missing"),
        ("UPDATE sqlite_sequence SET seq = 1 WHERE name = 'swim'", "counter of row numbers"),
        ("DELETE FROM swimmer", "names a swimmer or entry"),
        ("UPDATE swim SET date = '2026-13-99'", "breaks its rule"),
    ],
)
def test_every_harm_is_noticed(store: Store, now: dt.datetime, harm: str, said: str) -> None:
    file = filled(store, now)
    store.close()
    connection = sqlite3.connect(file)
    connection.execute(harm)
    connection.commit()
    connection.close()
    assert any(said in finding.what for finding in check_file(file, full=True))


def test_what_is_safe_is_mended_and_nothing_else(store: Store, now: dt.datetime) -> None:
    """CWE-276."""
    file = filled(store, now)
    store.close()
    connection = sqlite3.connect(file)
    connection.execute("UPDATE sqlite_sequence SET seq = 1 WHERE name = 'swim'")
    connection.execute("UPDATE swim SET time_s = 390 WHERE id = 1")
    connection.commit()
    connection.close()
    file.chmod(0o644)
    checked = check_store(file, fix=True)
    assert {finding.where for finding in checked.findings} == {str(file), "swim", "swim 1", "file"}
    assert [finding.where for finding in checked.remaining] == ["swim 1"]
    assert stat.S_IMODE(file.stat().st_mode) == 0o600
    mend(file)
    with pytest.raises(BadFileError, match="no database"):
        check_store(file.with_name("none.db"))


def test_the_look_at_the_start_sees_pages_and_tables_but_not_every_row(
    store: Store, now: dt.datetime, monkeypatch: pytest.MonkeyPatch
) -> None:
    file = filled(store, now, 500)
    assert check_at_start(a_session(store)) == ()
    with closing(sqlite3.connect(file)) as connection:
        connection.execute("UPDATE swim SET time_s = 390 WHERE id = 1")
        connection.commit()
        assert check_at_start(a_session(store)) == ()
        connection.execute("CREATE TRIGGER t AFTER UPDATE ON swim BEGIN DELETE FROM swimmer; END")
        connection.commit()
        query = "SELECT rootpage FROM sqlite_master WHERE name = 'swim_order'"
        (page,) = connection.execute(query).fetchone()
    (strange,) = check_at_start(a_session(store))
    assert (strange.where, "trigger t" in strange.what) == ("tables", True)
    store.close()
    raw = bytearray(file.read_bytes())
    raw[(page - 1) * 4096 : page * 4096] = b"\xff" * 4096
    file.write_bytes(raw)
    assert {one.where for one in check_at_start(a_session(store))} == {"file", "tables"}
    monkeypatch.setattr("tracker.app.check.START_BYTES", len(raw) - 1)
    assert {one.where for one in check_at_start(a_session(store))} == {"tables"}


def test_a_file_in_use_is_not_called_damaged(
    store: Store, now: dt.datetime, monkeypatch: pytest.MonkeyPatch
) -> None:
    file = filled(store, now)
    store.close()
    monkeypatch.setattr("tracker.store.checking._WAIT_S", 0.01)
    with closing(sqlite3.connect(file, isolation_level=None)) as other:
        other.execute("PRAGMA locking_mode = EXCLUSIVE")
        other.execute("BEGIN EXCLUSIVE")
        with pytest.raises(BusyError):
            check_file(file, full=True)
        assert check_at_start(a_session(store)) == ()
        other.execute("ROLLBACK")


def test_a_backup_of_a_damaged_database_names_the_database(
    store: Store, now: dt.datetime, tmp_path: Path
) -> None:
    file = filled(store, now, count=400)
    store.close()
    data = bytearray(file.read_bytes())
    page = len(data) // 2 // 4096 * 4096
    data[page : page + 16] = bytes(16)
    file.write_bytes(data)
    with pytest.raises(BadFileError) as raised:
        copy_file(file, tmp_path / "copy.db")
    assert str(raised.value).startswith(str(file))
    assert not (tmp_path / "copy.db").exists()
