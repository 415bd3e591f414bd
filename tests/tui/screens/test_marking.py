"""Several rows marked, one action on all of them, one undo."""

from __future__ import annotations

from tests.tui.clubs import a_club, an_app
from tests.tui.driving import drive, press, shown, words
from tests.tui.screens.test_forms import fill
from tracker.app.leave import list_leaves
from tracker.model.swimmer import Choice
from tracker.tui.widgets.long_list import LongList


def order_of(app) -> list[str]:
    return [row.key for row in app.screen.query_one(LongList).rows]


def choices(store) -> list[tuple[str, str]]:
    with store.read() as reader:
        return [(row.record.swimmer, row.record.value) for row in reader.all(Choice, by="me")]


def test_space_marks_and_takes_the_mark_away(tmp_path):
    app = an_app(a_club(tmp_path), tmp_path)

    async def journey(pilot):
        order = order_of(app)
        await press(pilot, "space", "space")
        assert f"2 marked, for what is done next: {order[0]}, {order[1]}." in words(app)
        rows = shown(app).splitlines()
        assert [row.lstrip(" ▸").startswith("+ ") for row in rows if any(n in row for n in order)][:2] == [
            True,
            True,
        ]
        await press(pilot, "g", "space")
        assert app.marked == (order[1],)
        await press(pilot, "escape")
        assert not app.marked
        assert "Nobody is marked any more." in words(app)

    drive(app, journey)


def test_the_verdicts_of_all_marked_are_seen_as_one_change(tmp_path):
    store = a_club(tmp_path)
    app = an_app(store, tmp_path)

    async def journey(pilot):
        await press(pilot, "space", "space", "S")
        assert sorted(choices(store)) == [("Ada Fjord", "plateau"), ("Cleo Marsh", "slipping")]
        assert "Marked as seen: Ada Fjord, Cleo Marsh." in words(app)
        await press(pilot, "u")
        assert choices(store) == []

    drive(app, journey)


def test_all_marked_are_left_until_a_date_with_a_reason(tmp_path):
    store = a_club(tmp_path)
    app = an_app(store, tmp_path)

    async def journey(pilot):
        await press(pilot, "space", "space", "A")
        assert "2 swimmers: Ada Fjord, Cleo Marsh" in words(app)
        await fill(pilot, until="2026-03-01")
        await press(pilot, "ctrl+s")
        assert "why: is missing" in words(app)
        await fill(pilot, until="2026-03-01", reason="camp")
        await press(pilot, "ctrl+s")
        assert {one.swimmer for one in list_leaves(app.session)} == {"Ada Fjord", "Cleo Marsh"}
        assert "two left alone until a date" in words(app)
        assert order_of(app)[-2:] == ["Ada Fjord", "Cleo Marsh"]
        await press(pilot, "u")
        assert not list_leaves(app.session)

    drive(app, journey)


def test_the_month_is_of_the_marked(tmp_path):
    app = an_app(a_club(tmp_path), tmp_path)

    async def journey(pilot):
        await press(pilot, "space", "m")
        assert order_of(app) == ["Ada Fjord"]
        assert "1 marked" in shown(app).splitlines()[0]

    drive(app, journey)


def test_the_marked_are_exported_each_into_a_folder(tmp_path):
    app = an_app(a_club(tmp_path), tmp_path)

    async def journey(pilot):
        await press(pilot, "space", "space", "x")
        await fill(pilot, folder=str(tmp_path / "out"))
        await press(pilot, "ctrl+s")
        assert "2 folders are in" in words(app)

    drive(app, journey)
    assert sorted(one.name for one in (tmp_path / "out").iterdir()) == ["ada-fjord", "cleo-marsh"]


def test_the_filter_does_not_lose_marks(tmp_path):
    store = a_club(tmp_path)
    app = an_app(store, tmp_path)

    async def journey(pilot):
        first = order_of(app)[0]
        await press(pilot, "space", "slash", *"lind", "enter", "space", "S")
        assert sorted(name for name, _ in choices(store)) == sorted(["Bo Lind", first])

    drive(app, journey)
