from __future__ import annotations

import datetime as dt

from textual import events

from tests.tui.clubs import AT, TODAY, a_club, an_app
from tests.tui.driving import drive, press, settled, shown, words
from tracker.model.swim import Swim
from tracker.tui.screens.log_test import LogTestScreen
from tracker.tui.screens.roster import RosterScreen
from tracker.tui.widgets.form_sheet import FormSheet


def swims_today(store) -> list[Swim]:
    with store.read() as reader:
        return [kept.record for kept in reader.all(Swim) if kept.record.date == TODAY]


def test_a_pair_is_logged_by_keys_and_undone(tmp_path):
    store = a_club(tmp_path)
    app = an_app(store, tmp_path)

    async def journey(pilot):
        await press(pilot, "t", *"6:40", "enter", *"3:16")
        text = words(app)
        assert "CSS 1:42.0 per 100 m (90 % interval" in text
        assert "than your line" in text
        await press(pilot, "ctrl+s")
        assert isinstance(app.screen, RosterScreen)
        assert "Logged for Ada Fjord" in shown(app)
        assert [(swim.distance_m, swim.time_s) for swim in swims_today(store)] == [(400, 400), (200, 196)]
        await press(pilot, "u")
        assert not swims_today(store)
        await press(pilot, "U")
        assert len(swims_today(store)) == 2

    drive(app, journey)


def test_errors_are_said_while_typing_each_at_its_field(tmp_path):
    app = an_app(a_club(tmp_path), tmp_path)

    async def journey(pilot):
        await press(pilot, "t", *"6:75", "enter", *"3:2x", "enter", *"2027-01-01")
        problems = app.screen.query_one(FormSheet).problems
        assert set(problems) == {"time1", "time2", "date"}
        assert "75" in problems["time1"]
        await press(pilot, "ctrl+s")
        assert isinstance(app.screen, LogTestScreen)

    drive(app, journey)


def test_an_implausible_pair_needs_another_key(tmp_path):
    store = a_club(tmp_path)
    app = an_app(store, tmp_path)

    async def journey(pilot):
        await press(pilot, "t", *"6:48", "enter", *"3:40", "ctrl+y")
        assert "nothing to accept" in shown(app)
        await press(pilot, "ctrl+s", "ctrl+s", "ctrl+s")
        assert isinstance(app.screen, LogTestScreen)
        assert "Implausible" in shown(app)
        assert not swims_today(store)
        await press(pilot, "ctrl+y")
        assert [swim.decision for swim in swims_today(store)] == ["accepted", "accepted"]

    drive(app, journey)


def test_fields_follow_the_test_and_a_pasted_column_becomes_times(tmp_path):
    store = a_club(tmp_path)
    app = an_app(store, tmp_path)

    async def journey(pilot):
        await press(pilot, "t")
        sheet = app.screen.query_one(FormSheet)
        assert {"time1", "time2"} <= set(sheet.values)
        sheet.fill({"test": "t30"})
        await settled(pilot)
        assert "time2" not in sheet.values
        assert "how far" in shown(app)
        sheet.fill({"test": "reps", "time1": "4x100"})
        await settled(pilot)
        sheet.go_to("time2")
        app.screen.focused.post_message(events.Paste("1:38\n1:39\n1:39.5\n1:40\n"))
        await settled(pilot)
        assert sheet.values["time2"] == "1:38 1:39 1:39.5 1:40"
        await press(pilot, "ctrl+s")
        assert [swim.time_s for swim in swims_today(store)] == [98.0, 99.0, 99.5, 100.0]

    drive(app, journey)


def test_a_pasted_column_fills_the_times_of_a_pair(tmp_path):
    app = an_app(a_club(tmp_path), tmp_path)

    async def journey(pilot):
        await press(pilot, "t")
        app.screen.focused.post_message(events.Paste("6:48\n3:16"))
        await settled(pilot)
        values = app.screen.query_one(FormSheet).values
        assert (values["time1"], values["time2"]) == ("6:48", "3:16")

    drive(app, journey)


def test_a_draft_comes_back_after_going_back_and_goes_when_saved(tmp_path):
    store = a_club(tmp_path)
    app = an_app(store, tmp_path)

    async def journey(pilot):
        await press(pilot, "t", *"6:40", "escape", "t")
        assert "A draft was kept and is back" in shown(app)
        assert app.screen.query_one(FormSheet).values["time1"] == "6:40"
        await press(pilot, *"3:16", "ctrl+s", "t")
        assert app.screen.query_one(FormSheet).values["time1"] == ""

    drive(app, journey)


def test_a_draft_of_one_swimmer_is_not_offered_for_another(tmp_path):
    app = an_app(a_club(tmp_path), tmp_path)

    async def journey(pilot):
        await press(pilot, "t", *"6:48", "escape", "j", "t")
        assert app.screen.query_one(FormSheet).values["time1"] == ""

    drive(app, journey)


def test_clearing_forgets_the_draft(tmp_path):
    app = an_app(a_club(tmp_path), tmp_path)

    async def journey(pilot):
        await press(pilot, "t", *"6:48", "f8", "escape", "t")
        assert app.screen.query_one(FormSheet).values["time1"] == ""

    drive(app, journey)


def test_the_steps_of_the_test_are_one_key_away(tmp_path):
    app = an_app(a_club(tmp_path), tmp_path)

    async def journey(pilot):
        await press(pilot, "t", "f2")
        assert "Push off from the wall" in shown(app)
        await press(pilot, "f2")
        assert "Push off from the wall" not in shown(app)

    drive(app, journey)


def test_the_first_test_comes_with_the_caution(tmp_path):
    from tests.tui.clubs import AT
    from tracker.model.practices import Caution
    from tracker.model.swimmer import Swimmer
    from tracker.output.cautions import caution

    said = caution(Caution.MAXIMAL_TEST)

    store = a_club(tmp_path)
    with store.write(who="test", what="add", at=AT) as writer:
        writer.add([Swimmer(swimmer="Eve New")])
    app = an_app(store, tmp_path)

    async def journey(pilot):
        await press(pilot, "slash", *"eve", "enter", "t", *"8:00", "enter", *"3:48", "ctrl+s")
        assert said in words(app)  # all of it, also in a small window

    drive(app, journey)


def test_a_time_with_two_readings_is_asked_about_and_the_one_typed_is_taken(tmp_path):
    store = a_club(tmp_path)
    app = an_app(store, tmp_path)

    async def journey(pilot):
        await press(pilot, "t", *"640", "enter", *"3:16")
        problems = app.screen.query_one(FormSheet).problems
        assert problems == {"time1": "'640' may be 6:40 or 10:40; type the one that is meant"}
        await press(pilot, "ctrl+s", "ctrl+y")
        assert isinstance(app.screen, LogTestScreen)
        assert app.screen.query_one(FormSheet).at == "time1"
        assert "'640' may be 6:40 or 10:40" in words(app)
        assert not swims_today(store)
        await press(pilot, "backspace", "backspace", "backspace", *"6:40", "ctrl+s")
        assert [swim.time_s for swim in swims_today(store)] == [400, 196]

    drive(app, journey)


def test_an_empty_course_is_the_usual_pool_and_a_surprise_is_said(tmp_path):
    store = a_club(tmp_path)
    with store.write(who="test", what="a lake", at=AT) as writer:
        lake = TODAY - dt.timedelta(days=1)
        writer.add(
            [Swim(date=lake, swimmer="Ada Fjord", test="t400", distance_m=400, time_s=440, course="OW")]
        )
    app = an_app(store, tmp_path)

    async def journey(pilot):
        await press(pilot, "t", *"6:40", "enter", *"3:16")
        assert "empty is SCM, the usual pool" in words(app)
        assert "SCM: 400 m at" in words(app)
        assert "the last swim was OW" in words(app)
        await press(pilot, "ctrl+s")
        assert "the last swim was OW" in words(app)
        assert {swim.course for swim in swims_today(store)} == {"SCM"}

    drive(app, journey)
