"""How often a group is tested and looked at, and that it is one answer whoever is asked about."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.builders import NOW, TODAY, a_session
from tracker.app.explain import why
from tracker.app.habits import group_habits
from tracker.app.render_roster import render_changed_rows
from tracker.app.scan import scan
from tracker.model.review import ReviewItem
from tracker.model.swim import Swim
from tracker.model.swimmer import Swimmer
from tracker.store.database import Store
from tracker.technique.rhythm import Habits, RhythmFrom


def swims_every(who: str, every: int, number: int = 6) -> list[Swim]:
    last = TODAY - dt.timedelta(days=3)
    return [
        Swim(
            date=last - dt.timedelta(days=every * place),
            swimmer=who,
            test="t400",
            distance_m=400.0,
            time_s=400.0 + place,
        )
        for place in range(number)
    ]


def looked(who: str, every: int) -> list[ReviewItem]:
    days = [TODAY - dt.timedelta(days=every * place) for place in range(1, 6)]
    return [ReviewItem(date=day, swimmer=who, reviewer="Mika", kind="look") for day in days]


def put(store: Store, *records: object) -> None:
    with store.write(who="Maud", what="some", at=NOW) as writer:
        writer.add(list(records))


@pytest.fixture
def store(tmp_path: Path) -> Iterator[Store]:
    made = Store.open(tmp_path / "club.db")
    yield made
    made.close()


def a_group(store: Store) -> None:
    put(store, *(Swimmer(swimmer=name, group="Lane 1") for name in ("Ada", "Bea", "Cleo", "New")))
    put(store, Swimmer(swimmer="Alone"), Swimmer(swimmer="Gone", group="Lane 1", archived=TODAY))
    put(
        store,
        *swims_every("Ada", 14),
        *swims_every("Bea", 21),
        *swims_every("Cleo", 28),
        *swims_every("New", 5, number=2),
    )
    put(store, *swims_every("Alone", 14), *swims_every("Gone", 60), *looked("Ada", 40), *looked("Bea", 44))


def test_a_groups_habit_is_the_median_of_its_active_swimmers_own(store: Store) -> None:
    a_group(store)
    with store.read() as reader:
        assert group_habits(reader, TODAY) == {"Lane 1": Habits(21, 40)}
        assert group_habits(reader, TODAY - dt.timedelta(days=2000)) == {"Lane 1": Habits()}


def test_who_is_new_follows_the_group_and_scan_and_why_say_so_alike(store: Store) -> None:
    a_group(store)
    lines = {line.swimmer: line for line in scan(a_session(store))}
    assert (lines["New"].due.test_every.days, lines["New"].due.test_every.by) == (21, RhythmFrom.GROUP)
    assert lines["Cleo"].due.test_every.days == 28
    for name, line in lines.items():
        assert why(a_session(store), name).line.due == line.due


def test_a_cached_row_is_worked_out_again_when_the_groups_habit_changed(store: Store, tmp_path: Path) -> None:
    def due_of_new() -> str:
        rows = render_changed_rows(a_session(store), cache=tmp_path)
        return next(row.json for row in rows if row.swimmer == "New")

    a_group(store)
    before = due_of_new()
    put(store, Swimmer(swimmer="Dot", group="Lane 1"), *swims_every("Dot", 35), *looked("Dot", 44))
    put(store, Swimmer(swimmer="Eve", group="Lane 1"), *swims_every("Eve", 35))
    assert due_of_new() != before
