from __future__ import annotations

import datetime as dt
import random

import pytest

from tests.bench.safety.edits import Coach
from tracker.errors import UsageError
from tracker.model.swim import Swim
from tracker.model.swimmer import Swimmer
from tracker.store.checking import check_file
from tracker.store.database import Store

ANA = "Ana Prova"
DAY = dt.date(2026, 5, 4)


def add(store: Store, now: dt.datetime, what: str, *records: Swim | Swimmer) -> None:
    with store.write(who="coach", what=what, at=now) as writer:
        writer.add(records)


def a_swim(time_s: float = 400.0) -> Swim:
    return Swim(date=DAY, swimmer=ANA, distance_m=400, time_s=time_s)


@pytest.mark.parametrize("seed", range(8))
def test_any_edits_agree_with_a_plain_model_and_can_all_be_undone(store: Store, seed: int) -> None:
    coach = Coach(store, random.Random(seed))  # noqa: S311
    for _ in range(40):
        coach.step()
    assert coach.agrees()
    while coach.past:
        coach.undo()
    assert coach.agrees()
    assert coach.swims == {}
    if store.file is not None:
        assert check_file(store.file, full=True) == []


def test_the_history_says_what_when_by_whom_and_about_whom(store: Store, now: dt.datetime) -> None:
    add(store, now, "begin", Swimmer(swimmer=ANA), Swimmer(swimmer="Bo Prova"))
    add(store, now + dt.timedelta(hours=1), "log", a_swim())
    with store.read() as reader:
        latest, first = reader.history()
        assert (latest.what, latest.who, latest.at, latest.swimmers) == (
            "log",
            "coach" if store.file else store.engine.url.username,
            now + dt.timedelta(hours=1),
            (ANA,),
        )
        assert first.swimmers == (ANA, "Bo Prova")
        assert [line.what for line in reader.history("Bo Prova")] == ["begin"]
        assert [line.what for line in reader.history(limit=1)] == ["log"]


def test_a_new_change_drops_what_was_undone(store: Store, now: dt.datetime) -> None:
    add(store, now, "begin", Swimmer(swimmer=ANA))
    add(store, now, "first", a_swim(400))
    assert store.undo(at=now, who="b") == "first"
    add(store, now, "second", a_swim(401))
    with pytest.raises(UsageError, match="nothing to redo"):
        store.redo(at=now)
    with store.read() as reader:
        assert [(line.what, line.state) for line in reader.history()] == [
            ("second", "done"),
            ("first", "dropped"),
            ("begin", "done"),
        ]
        assert [kept.record.time_s for kept in reader.all(Swim)] == [401]
    store.undo(at=now)
    store.undo(at=now)
    with pytest.raises(UsageError, match="nothing to undo"):
        store.undo(at=now)


def test_undo_and_redo_keep_numbers_and_the_person_but_make_old_views_stale(
    store: Store, now: dt.datetime
) -> None:
    add(store, now, "begin", Swimmer(swimmer=ANA), a_swim())
    with store.read() as reader:
        number, version = reader.all(Swim)[0].id, reader.all(Swim)[0].version
        uid = reader.connection.exec_driver_sql("SELECT uid FROM swimmer").scalar()
    store.undo(at=now)
    store.redo(at=now)
    with store.read() as reader:
        kept = reader.one(Swim, number)
        assert kept.version > version
        assert reader.connection.exec_driver_sql("SELECT uid FROM swimmer").scalar() == uid


def test_numbers_are_never_used_twice(store: Store, now: dt.datetime) -> None:
    add(store, now, "begin", Swimmer(swimmer=ANA), a_swim())
    store.undo(at=now)
    add(store, now, "begin", Swimmer(swimmer=ANA), a_swim())
    with store.read() as reader:
        assert [kept.id for kept in reader.all(Swim)] == [2]


@pytest.mark.parametrize("number", [5_000, pytest.param(45_000, marks=pytest.mark.thorough)])
def test_a_big_import_is_undone_and_redone_to_the_same_rows(
    store: Store, now: dt.datetime, number: int
) -> None:
    add(store, now, "begin", Swimmer(swimmer=ANA))
    with store.write(who="c", what="many", at=now) as writer:
        row = tuple(getattr(a_swim(), name) for name in Swim.model_fields)
        writer.add_rows(Swim, [row] * number, number)
    store.undo(at=now)
    with store.read() as reader:
        assert reader.count(Swim) == 0
    store.redo(at=now)
    with store.read() as reader:
        assert reader.count(Swim) == number
        assert set(reader.rows(Swim)) == {row}


def test_two_stores_share_one_history(store: Store, now: dt.datetime) -> None:
    other = Store.open(store.engine.url.render_as_string(hide_password=False))
    add(store, now, "mine", Swimmer(swimmer=ANA))
    add(other, now, "theirs", a_swim())
    assert store.undo(at=now) == "theirs"
    assert other.redo(at=now) == "theirs"
    other.close()
    with store.read() as reader:
        assert reader.count(Swim) == 1
