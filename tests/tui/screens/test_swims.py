from __future__ import annotations

from tests.tui.clubs import AT, a_club, an_app
from tests.tui.driving import drive, press, settled, words
from tracker.model.swim import Swim
from tracker.tui.screens.swims import EditSwimScreen
from tracker.tui.widgets.form_sheet import FormSheet


def latest(store):
    with store.read() as reader:
        return reader.all(Swim, swimmer="Ada Fjord")[-1]


def count(store):
    with store.read() as reader:
        return reader.count(Swim)


def test_pressing_delete_twice_deletes_nothing(tmp_path):
    store = a_club(tmp_path)
    app = an_app(store, tmp_path)

    async def journey(pilot):
        before = count(store)
        await press(pilot, "enter", "v", "d", "d")
        assert count(store) == before
        assert "Nothing was deleted" in words(app)
        await press(pilot, "d")
        assert "Delete 1 swim: Ada Fjord, 400 m" in words(app)
        await press(pilot, "enter")
        assert count(store) == before
        await press(pilot, "d", "y")
        assert count(store) == before - 1
        await press(pilot, "u")
        assert count(store) == before

    drive(app, journey)


def test_a_swim_is_corrected(tmp_path):
    store = a_club(tmp_path)
    app = an_app(store, tmp_path)

    async def journey(pilot):
        await press(pilot, "enter", "v", "enter")
        app.screen.query_one(FormSheet).fill({"time": "6:50.5", "effort": "9"})
        await press(pilot, "ctrl+s")
        assert (latest(store).record.time_s, latest(store).record.effort) == (410.5, 9)

    drive(app, journey)


def test_a_swim_in_a_yard_pool_is_shown_and_corrected_in_yards(tmp_path):
    store = a_club(tmp_path)
    app = an_app(store, tmp_path)

    async def journey(pilot):
        await press(pilot, "enter", "v", "enter")
        app.screen.query_one(FormSheet).fill({"course": "SCY"})
        await press(pilot, "ctrl+s")
        assert latest(store).record.distance_m == 365.76
        assert "400 yd" in words(app)
        assert "365.76" not in words(app)
        await press(pilot, "enter")
        assert "400 yd" in words(app)
        app.screen.query_one(FormSheet).fill({"test": "", "distance": "300"})
        await press(pilot, "ctrl+s")
        assert round(latest(store).record.distance_m, 6) == 274.32
        await press(pilot, "d")
        assert "Delete 1 swim: Ada Fjord, 300 yd" in words(app)

    drive(app, journey)


def test_setting_aside_needs_a_reason_and_can_be_reversed(tmp_path):
    store = a_club(tmp_path)
    app = an_app(store, tmp_path)

    async def journey(pilot):
        await press(pilot, "enter", "v", "x", "ctrl+s")
        assert "with a reason" in words(app)
        await press(pilot, *"lost count", "ctrl+s")
        assert latest(store).record.decision == "aside"
        assert "no: aside" in words(app)
        await press(pilot, "b")
        assert latest(store).record.decision == "kept"

    drive(app, journey)


def test_a_stale_save_is_refused_with_both_values(tmp_path):
    store = a_club(tmp_path)
    app = an_app(store, tmp_path)

    async def journey(pilot):
        await press(pilot, "enter", "v", "enter")
        kept = latest(store)
        with store.write(who="other", what="edit elsewhere", at=AT) as writer:
            writer.change(Swim, kept.id, kept.version, time_s=399.0)
        app.screen.query_one(FormSheet).fill({"time": "6:50.5"})
        await press(pilot, "ctrl+s")
        assert isinstance(app.screen, EditSwimScreen)
        said = words(app)
        assert "somebody changed it meanwhile" in said
        assert "on record 6:39" in said
        assert "typed 6:50.5" in said
        assert latest(store).record.time_s == 399.0
        await press(pilot, "ctrl+s")
        await settled(pilot)
        assert latest(store).record.time_s == 410.5

    drive(app, journey, size=(120, 40))
