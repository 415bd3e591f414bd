from __future__ import annotations

import datetime as dt
import os
import sqlite3
import stat
import subprocess
import sys
from pathlib import Path

import pytest

from tracker.errors import BadFileError, BusyError, EntryError, StaleError, UnknownNameError, UsageError
from tracker.model.swim import Swim
from tracker.model.swimmer import Swimmer
from tracker.remedies import Mend
from tracker.store.database import Store

DAY = dt.date(2026, 5, 4)
ANA = "Ana Prova"


def a_swim(swimmer: str = ANA, date: dt.date = DAY, time_s: float = 405.0) -> Swim:
    return Swim(date=date, swimmer=swimmer, test="t400", distance_m=400, time_s=time_s)


def add(store: Store, now: dt.datetime, *records: Swim | Swimmer) -> list[int]:
    with store.write(who="coach", what="add", at=now) as writer:
        return writer.add(records)


def test_what_is_written_is_read_by_a_second_store(store: Store, now: dt.datetime) -> None:
    add(store, now, a_swim(), Swimmer(swimmer=ANA, group="B"))
    other = Store.open(store.engine.url.render_as_string(hide_password=False))
    with other.read() as reader:
        assert [kept.record for kept in reader.all(Swim)] == [a_swim()]
        assert reader.swimmer(ANA).record.group == "B"
    other.close()


def test_an_exception_rolls_everything_back(store: Store, now: dt.datetime) -> None:
    def fail() -> None:
        with store.write(who="coach", what="half", at=now) as writer:
            writer.add([Swimmer(swimmer=ANA), a_swim()])
            raise ZeroDivisionError

    with pytest.raises(ZeroDivisionError):
        fail()
    with store.read() as reader:
        assert reader.all(Swim) == []
        assert reader.labels() == []
        assert reader.history() == []


def test_a_reader_sees_one_moment(store: Store, now: dt.datetime) -> None:
    with store.read() as reader:
        add(store, now, Swimmer(swimmer=ANA))
        assert reader.labels() == []
    with store.read() as reader:
        assert reader.labels() == [ANA]


def test_records_come_by_date_and_number(store: Store, now: dt.datetime) -> None:
    later = DAY + dt.timedelta(days=1)
    add(store, now, Swimmer(swimmer=ANA), a_swim(date=later), a_swim(time_s=401), a_swim(time_s=402))
    with store.read() as reader:
        assert [kept.record.time_s for kept in reader.all(Swim)] == [401, 402, 405]
        assert [kept.id for kept in reader.all(Swim, date=DAY)] == [2, 3]


def test_a_swimmer_is_found_by_another_spelling_or_told_the_nearest(store: Store, now: dt.datetime) -> None:
    add(store, now, Swimmer(swimmer=ANA), Swimmer(swimmer="Zoë"))
    with store.read() as reader:
        assert reader.swimmer("ana  PROVA").record.swimmer == ANA
        assert reader.swimmer("zoë").record.swimmer == "Zoë"
        with pytest.raises(UnknownNameError, match="Ana Prova") as caught:
            reader.swimmer("Ana Prowa")
        assert caught.value.nearest == (ANA,)


def test_the_data_version_rises_with_every_commit_and_not_else(store: Store, now: dt.datetime) -> None:
    def version() -> int:
        with store.read() as reader:
            return reader.data_version()

    before = version()
    assert version() == before
    add(store, now, Swimmer(swimmer=ANA))
    after = version()
    assert after > before
    store.undo(at=now)
    assert version() > after


def test_a_write_that_changes_nothing_leaves_no_history(store: Store, now: dt.datetime) -> None:
    add(store, now)
    with store.read() as reader:
        assert reader.history() == []


def test_a_stale_version_is_refused_with_both_values(store: Store, now: dt.datetime) -> None:
    add(store, now, Swimmer(swimmer=ANA), a_swim())
    with store.write(who="a", what="edit", at=now) as writer:
        writer.change(Swim, 1, 1, time_s=400.0)
    with (
        pytest.raises(StaleError, match=r"time_s 400\.0; yours: time_s 390"),
        store.write(who="b", what="edit", at=now) as writer,
    ):
        writer.change(Swim, 1, 1, time_s=390.0)
    with (
        pytest.raises(StaleError),
        store.write(who="b", what="delete", at=now) as writer,
    ):
        writer.remove(Swim, 1, 1)


def test_a_change_obeys_the_records_rule(store: Store, now: dt.datetime) -> None:
    add(store, now, Swimmer(swimmer=ANA), a_swim())
    with (
        pytest.raises(EntryError, match="time_s"),
        store.write(who="a", what="edit", at=now) as writer,
    ):
        writer.change(Swim, 1, time_s=-5)


def test_a_label_is_unique_and_a_record_needs_its_swimmer(store: Store, now: dt.datetime) -> None:
    add(store, now, Swimmer(swimmer=ANA))
    with pytest.raises(UsageError, match="already there"):
        add(store, now, Swimmer(swimmer=ANA))
    with pytest.raises(UsageError, match="names a swimmer"):
        add(store, now, a_swim("Nobody Here"))


def test_a_rename_carries_the_records_and_the_history(store: Store, now: dt.datetime) -> None:
    add(store, now, Swimmer(swimmer=ANA), a_swim())
    with store.write(who="coach", what="rename", at=now) as writer:
        writer.change(Swimmer, 1, swimmer="Ana Nuova")
    with store.read() as reader:
        assert reader.all(Swim)[0].record.swimmer == "Ana Nuova"
        assert len(reader.history("Ana Nuova")) == 2
        assert reader.history(ANA) == []


@pytest.mark.file_only(reason="file modes")
@pytest.mark.parametrize("umask", [0o000, 0o022, 0o077])
def test_files_are_their_owners_whatever_the_umask(tmp_path: Path, umask: int, now: dt.datetime) -> None:
    """CWE-276."""
    before = os.umask(umask)
    try:
        store = Store.open(tmp_path / "a" / "b" / "x.db")
        add(store, now, Swimmer(swimmer=ANA))
        files = sorted((tmp_path / "a" / "b").iterdir())
        assert {file.name for file in files} == {"x.db", "x.db-wal", "x.db-shm"}
        assert {stat.S_IMODE(file.stat().st_mode) for file in files} == {0o600}
        assert stat.S_IMODE((tmp_path / "a").stat().st_mode) == 0o700
        assert stat.S_IMODE((tmp_path / "a" / "b").stat().st_mode) == 0o700
        store.close()
    finally:
        os.umask(before)


@pytest.mark.file_only(reason="file modes")
def test_a_wide_mode_is_remarked_upon(tmp_path: Path) -> None:
    """CWE-276."""
    Store.open(tmp_path / "x.db").close()
    (tmp_path / "x.db").chmod(0o644)
    store = Store.open(tmp_path / "x.db")
    assert [remark.remedy for remark in store.remarks] == [Mend.MAKE_PRIVATE]
    store.close()


@pytest.mark.file_only(reason="SQLite's own settings")
def test_each_connection_is_durable_and_strict(store: Store) -> None:
    wanted = {
        "journal_mode": "wal",
        "synchronous": 2,
        "foreign_keys": 1,
        "secure_delete": 1,
        "trusted_schema": 0,
        "busy_timeout": 5000,
        "cell_size_check": 1,
    }
    with store.read() as reader:
        found = {name: reader.connection.exec_driver_sql(f"PRAGMA {name}").scalar() for name in wanted}
    assert found == wanted


@pytest.mark.file_only(reason="another program's file")
def test_a_foreign_file_is_refused_and_not_touched(tmp_path: Path) -> None:
    other = tmp_path / "other.db"
    connection = sqlite3.connect(other)
    connection.execute("CREATE TABLE t (x)")
    connection.commit()
    connection.close()
    text = tmp_path / "note.txt"
    text.write_text("not a database " * 20)
    for file in (other, text):
        before = file.read_bytes()
        with pytest.raises(BadFileError):
            Store.open(file)
        assert file.read_bytes() == before
        assert [path.name for path in tmp_path.glob(f"{file.name}-*")] == []


@pytest.mark.file_only(reason="a missing file")
def test_a_missing_file_is_not_made_unless_asked(tmp_path: Path) -> None:
    with pytest.raises(BadFileError, match="no database"):
        Store.open(tmp_path / "x.db", create=False)
    assert list(tmp_path.iterdir()) == []


@pytest.mark.file_only(reason="a file's bytes; for a server see test_server")
def test_a_later_version_is_refused_and_not_touched(tmp_path: Path) -> None:
    file = tmp_path / "x.db"
    Store.open(file).close()
    connection = sqlite3.connect(file)
    connection.execute("PRAGMA user_version = 99")
    connection.execute("PRAGMA wal_checkpoint(TRUNCATE)")
    connection.close()
    before = file.read_bytes()
    with pytest.raises(BadFileError, match="later"):
        Store.open(file)
    assert file.read_bytes() == before


@pytest.mark.file_only(reason="SQLite's lock; for a server see test_server")
def test_a_held_database_is_busy(store: Store, now: dt.datetime, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("tracker.store.engine._PRAGMAS", ("busy_timeout = 50",))
    assert store.file is not None
    other = Store.open(store.file)
    with store.write(who="a", what="long", at=now) as writer:
        writer.add([Swimmer(swimmer=ANA)])
        with pytest.raises(BusyError):
            add(other, now, Swimmer(swimmer="Bo Prova"))
    other.close()


def test_columns_are_typed_and_ordered(store: Store, now: dt.datetime) -> None:
    import numpy as np

    add(
        store,
        now,
        Swimmer(swimmer="Bo Prova", group="B", archived=DAY),
        Swimmer(swimmer=ANA, group="A", born=1990),
        a_swim("Bo Prova"),
        a_swim(date=dt.date(1969, 7, 20)),
        a_swim(time_s=400.5),
    )
    with store.read() as reader:
        found = reader.columns(Swim, ("swimmer", "date", "time_s", "effort", "id"))
        assert list(found["swimmer"]) == [ANA, ANA]
        assert list(found["date"]) == [np.datetime64("1969-07-20"), np.datetime64(DAY)]
        assert list(found["time_s"]) == [405.0, 400.5]
        assert np.isnan(found["effort"]).all()
        assert found["id"].dtype == np.int64
        assert len(reader.columns(Swim, ("id",), archived=True)["id"]) == 3
        assert len(reader.columns(Swim, ("id",), swimmer="Bo Prova")["id"]) == 1
        assert len(reader.columns(Swim, ("id",), group="B")["id"]) == 0
        people = reader.columns(Swimmer, ("swimmer", "born", "target_date"))
        assert list(people["born"]) == [1990.0]
        assert np.isnat(people["target_date"]).all()


def test_injected_sql_is_text(store: Store, now: dt.datetime) -> None:
    """CWE-89."""
    names = ["Tansy'); DELETE FROM swim;--", "7 OR 2<3", "%", "_", "\\", "'"]
    add(store, now, *(Swimmer(swimmer=name) for name in names))
    with store.read() as reader:
        assert reader.labels() == sorted(names)
        assert [reader.swimmer(name).record.swimmer for name in names] == names
        with pytest.raises(UnknownNameError):
            reader.swimmer("%%")


def test_a_failing_statement_says_no_value(store: Store, now: dt.datetime) -> None:
    """CWE-532."""
    child = "Mia Test-Minor"
    add(store, now, Swimmer(swimmer=child))
    with pytest.raises(UsageError) as caught:
        add(store, now, Swimmer(swimmer=child))
    told: BaseException | None = caught.value
    while told is not None:
        assert child not in str(told)
        told = None if told.__suppress_context__ else told.__context__


def test_numbers_that_are_none_never_reach_sql(store: Store, now: dt.datetime) -> None:
    add(store, now, Swimmer(swimmer=ANA), a_swim())
    for bad in (float("nan"), float("inf"), 2.0**63):
        with pytest.raises(ValueError, match="time"):
            a_swim(time_s=bad)
        with (
            pytest.raises(EntryError),
            store.write(who="a", what="edit", at=now) as writer,
        ):
            writer.change(Swim, 1, time_s=bad)


def test_the_tables_refuse_what_the_record_refuses(store: Store, now: dt.datetime) -> None:
    add(store, now, Swimmer(swimmer=ANA), a_swim())
    for statement in (
        "UPDATE swim SET time_s = -5",
        "UPDATE swim SET time_s = 'abc'",
        "UPDATE swim SET suit = 'cape'",
        "UPDATE swim SET effort = 11",
        "UPDATE swim SET date = NULL",
    ):
        with pytest.raises(UsageError), store.read() as reader:
            reader.connection.exec_driver_sql(statement)


@pytest.mark.file_only(reason="opened by another process, by its path")
def test_a_light_opening_imports_neither_alembic_nor_frames(store: Store) -> None:
    code = (
        "import sys; from tracker.store.database import Store; s = Store.open(sys.argv[1]);"
        "r = s.read(); r.__enter__().labels(); r.__exit__(None, None, None);"
        "print([m for m in ('alembic', 'numpy', 'pandas', 'mako') if m in sys.modules])"
    )
    done = subprocess.run(
        [sys.executable, "-c", code, str(store.file)], capture_output=True, text=True, check=True
    )
    assert done.stdout.strip() == "[]"


@pytest.mark.file_only(reason="the bytes of a file")
def test_a_table_whose_definition_is_no_text_any_more_is_one_line(store: Store, now: dt.datetime) -> None:
    add(store, now, Swimmer(swimmer=ANA))
    store.close()
    whole = store.file.read_bytes()
    store.file.write_bytes(whole.replace(b"CREATE TABLE", b"CREATE T\xba\xff\xba\xff"))
    with pytest.raises(BadFileError, match=r"damaged or no database$"):
        Store.open(store.file)
