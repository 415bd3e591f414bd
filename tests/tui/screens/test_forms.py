"""Each form writes what it says through its use-case; `u` takes it back."""

from __future__ import annotations

import pytest
from textual import events

from tests.builders import a_session
from tests.tui.clubs import AT, TODAY, a_club, an_app
from tests.tui.driving import drive, press, settled, words
from tracker.app.swimmers import archive_swimmer
from tracker.model.event import Event
from tracker.model.fault import FaultStep
from tracker.model.review import ReviewItem
from tracker.model.swim import Swim
from tracker.model.swimmer import Choice, Swimmer
from tracker.model.work import Work
from tracker.tui.screens.add import AddSwimmerScreen
from tracker.tui.screens.roster import RosterScreen
from tracker.tui.screens.squad import SquadScreen
from tracker.tui.widgets.form_sheet import FormSheet


def every(store, record, /, **equal):
    with store.read() as reader:
        return [kept.record for kept in reader.all(record, **equal)]


async def fill(pilot, **values):
    pilot.app.screen.query_one(FormSheet).fill(values)
    await settled(pilot)


def test_a_swimmer_is_added_and_undone(tmp_path):
    store = a_club(tmp_path)
    app = an_app(store, tmp_path)

    async def journey(pilot):
        await press(pilot, "a", *"Eve", "enter", *"Masters")
        await fill(pilot, born="1980", target_pace="1:40", target_date="2026-09-01")
        await press(pilot, "ctrl+s")
        (eve,) = every(store, Swimmer, swimmer="Eve")
        assert (eve.group, eve.born, eve.target_pace) == ("Masters", 1980, 100.0)
        assert "Eve" in words(app)
        await press(pilot, "u")
        assert not every(store, Swimmer, swimmer="Eve")

    drive(app, journey)


def test_a_label_that_is_taken_is_refused_at_its_field(tmp_path):
    store = a_club(tmp_path)
    app = an_app(store, tmp_path)

    async def journey(pilot):
        await press(pilot, "a", *"ada fjord", "ctrl+s")
        assert "is there already" in words(app)
        assert "swimmer" in app.screen.query_one(FormSheet).problems

    drive(app, journey)


def test_a_swimmer_is_changed_and_put_away_with_another_key(tmp_path):
    store = a_club(tmp_path)
    app = an_app(store, tmp_path)

    async def journey(pilot):
        await press(pilot, "enter", "E")
        await fill(pilot, group="Masters")
        await press(pilot, "ctrl+s")
        assert every(store, Swimmer, swimmer="Ada Fjord")[0].group == "Masters"
        await press(pilot, "X", "X")
        assert every(store, Swimmer, swimmer="Ada Fjord")[0].archived is None
        await press(pilot, "X", "enter")
        assert every(store, Swimmer, swimmer="Ada Fjord")[0].archived is None
        await press(pilot, "X", "y")
        assert every(store, Swimmer, swimmer="Ada Fjord")[0].archived == TODAY
        assert isinstance(app.screen, RosterScreen)
        await press(pilot, "u")
        assert every(store, Swimmer, swimmer="Ada Fjord")[0].archived is None

    drive(app, journey)


def test_a_review_with_scores_measures_faults_cue_and_drill(tmp_path):
    store = a_club(tmp_path)
    app = an_app(store, tmp_path, who="Bo Lind")

    async def journey(pilot):
        await press(pilot, "r")
        sheet = app.screen.query_one(FormSheet)
        sheet.go_to("faults")
        await press(pilot, *"kick-kn")
        assert "kick-knees:" in words(app)
        await fill(
            pilot,
            **{
                "faults": "kick-kn=2, entry-crossing",
                "corrected": "breath-late",
                "score breathing": "2",
                "measure shoulder-roll:left": "57",
                "cue": "lamp ahead",
                "drill": "side kick",
            },
        )
        await press(pilot, "ctrl+s")
        assert isinstance(app.screen, RosterScreen), words(app)
        steps = [step for step in every(store, FaultStep, swimmer="Ada Fjord") if step.date == TODAY]
        assert {(step.fault, step.side, step.step) for step in steps} == {
            ("kick-knees", "", "open"),
            ("entry-crossing", "", "open"),
            ("breath-late", "", "corrected"),
        }
        assert {(item.kind, item.item, item.side, item.value) for item in every(store, ReviewItem)} == {
            ("score", "breathing", "", 2.0),
            ("measure", "shoulder-roll", "left", 57.0),
        }
        begun = {(work.kind, work.text) for work in every(store, Work) if work.from_date == TODAY}
        assert begun == {("cue", "lamp ahead"), ("drill", "side kick")}
        await press(pilot, "u", "u", "u")
        assert not every(store, ReviewItem)

    drive(app, journey)


def test_problems_of_a_review_stand_at_their_fields(tmp_path):
    app = an_app(a_club(tmp_path), tmp_path)

    async def journey(pilot):
        await press(pilot, "r")
        await fill(pilot, **{"score catch": "7", "faults": "no-such-fault", "date": "2026-02-30"})
        await press(pilot, "ctrl+s")
        assert {"score catch", "faults", "date"} <= set(app.screen.query_one(FormSheet).problems)

    drive(app, journey)


def test_a_fault_is_found_by_typing_and_takes_its_step(tmp_path):
    store = a_club(tmp_path)
    app = an_app(store, tmp_path)

    async def journey(pilot):
        await press(pilot, "f", *"breath-la")
        await fill(pilot, step="park", note="race in three weeks")
        await press(pilot, "ctrl+s")
        last = every(store, FaultStep, swimmer="Ada Fjord", fault="breath-late")[-1]
        assert (last.step, last.note) == ("parked", "race in three weeks")

    drive(app, journey)


def test_a_cue_is_started_and_stopped(tmp_path):
    store = a_club(tmp_path)
    app = an_app(store, tmp_path)

    async def journey(pilot):
        await press(pilot, "c")
        await fill(pilot, kind="drill", text="fist", fault="breath-late", per_week="2")
        await press(pilot, "ctrl+s")
        (drill,) = every(store, Work, kind="drill")
        assert (drill.text, drill.per_week, drill.to_date) == ("fist", 2.0, None)
        await press(pilot, "c")
        await fill(pilot, act="stop", kind="drill", text="fist")
        await press(pilot, "ctrl+s")
        assert every(store, Work, kind="drill")[0].to_date == TODAY

    drive(app, journey)


def test_an_event_is_logged_and_health_is_not_offered(tmp_path):
    store = a_club(tmp_path)
    app = an_app(store, tmp_path)

    async def journey(pilot):
        await press(pilot, "e")
        assert "injury" not in words(app)
        await fill(pilot, kind="injury")
        await press(pilot, "ctrl+s")
        assert "health" in words(app)
        await fill(pilot, kind="layoff", **{"from": "2026-01-01", "to": "2026-01-20"})
        await press(pilot, "ctrl+s")
        assert "layoff" in {event.kind for event in every(store, Event)}

    drive(app, journey)


def test_a_squad_is_logged_at_once_or_not_at_all(tmp_path):
    store = a_club(tmp_path)
    app = an_app(store, tmp_path)

    async def journey(pilot):
        await press(pilot, "s")
        sheet = app.screen.query_one(FormSheet)
        sheet.fill({"test": "t400"})
        sheet.go_to("swimmer Ada Fjord")
        app.screen.focused.post_message(events.Paste("6:28\n6:99\n7:02\n"))
        await settled(pilot)
        assert "Times for 3 of 4 swimmers" in words(app)
        await press(pilot, "ctrl+s")
        assert set(sheet.problems) == {"swimmer Bo Lind"}
        assert not [swim for swim in every(store, Swim) if swim.date == TODAY]
        await fill(pilot, **{"swimmer Bo Lind": "6:19"})
        await press(pilot, "ctrl+s")
        logged = {swim.swimmer: swim.time_s for swim in every(store, Swim) if swim.date == TODAY}
        assert logged == {"Ada Fjord": 388.0, "Bo Lind": 379.0, "Cleo Marsh": 422.0}
        await press(pilot, "u")
        assert not [swim for swim in every(store, Swim) if swim.date == TODAY]

    drive(app, journey)


def test_a_squad_with_an_implausible_row_asks_for_another_key(tmp_path):
    store = a_club(tmp_path)
    app = an_app(store, tmp_path)

    async def journey(pilot):
        await press(pilot, "s")
        await fill(pilot, **{"test": "t400", "swimmer Ada Fjord": "2:00", "swimmer Bo Lind": "6:39"})
        await press(pilot, "ctrl+s", "ctrl+s")
        assert "Implausible: Ada Fjord" in words(app)
        assert not [swim for swim in every(store, Swim) if swim.date == TODAY]
        await press(pilot, "ctrl+y")
        decisions = {swim.swimmer: swim.decision for swim in every(store, Swim) if swim.date == TODAY}
        assert decisions == {"Ada Fjord": "accepted", "Bo Lind": ""}

    drive(app, journey)


def test_a_squad_is_asked_about_a_time_far_off_somebodys_own_line(tmp_path):
    store = a_club(tmp_path)
    app = an_app(store, tmp_path)

    async def journey(pilot):
        await press(pilot, "s")
        await fill(pilot, **{"test": "t400", "swimmer Ada Fjord": "8:01", "swimmer Bo Lind": "6:19"})
        assert "Ada Fjord, asked about: 25 % slower" in words(app)
        await press(pilot, "ctrl+s", "ctrl+s")
        assert "Doubtful: Ada Fjord: 25 % slower" in words(app)
        assert "slower than the median of the last five like it" in words(app)
        assert not [swim for swim in every(store, Swim) if swim.date == TODAY]
        await press(pilot, "ctrl+y")
        decisions = {swim.swimmer: swim.decision for swim in every(store, Swim) if swim.date == TODAY}
        assert decisions == {"Ada Fjord": "", "Bo Lind": ""}

    drive(app, journey)


@pytest.mark.parametrize(("test", "times"), [("t400", "8:01"), ("css", "8:01 3:55")])
def test_the_squad_and_the_form_of_one_ask_about_the_same_in_the_same_words(tmp_path, test, times):
    store = a_club(tmp_path)
    app = an_app(store, tmp_path)
    asked = []

    async def journey(pilot):
        await press(pilot, "s")
        await fill(pilot, **{"test": test, "swimmer Ada Fjord": times})
        await press(pilot, "ctrl+s")
        asked.append(words(app).partition("Doubtful: Ada Fjord: ")[2].partition(". ctrl+y")[0])
        await press(pilot, "escape", "t")
        typed = {f"time{number}": time for number, time in enumerate(times.split(), start=1)}
        await fill(pilot, test=test)
        await fill(pilot, **typed)
        await press(pilot, "ctrl+s")
        asked.append(words(app).partition("Doubtful: ")[2].partition(". ctrl+y")[0])

    drive(app, journey, size=(160, 40))
    assert asked[0] == asked[1] != ""
    assert not [swim for swim in every(store, Swim) if swim.date == TODAY]


def test_what_to_work_on_can_be_chosen_otherwise(tmp_path):
    store = a_club(tmp_path)
    app = an_app(store, tmp_path)

    async def journey(pilot):
        await press(pilot, "enter", "n")
        assert "Work on:" in words(app)
        await press(pilot, "b")
        await fill(pilot, fault="breath-late", reason="she asked for it")
        await press(pilot, "ctrl+s")
        (choice,) = [one for one in every(store, Choice) if one.kind == "choose"]
        assert (choice.kind, choice.fault, choice.reason) == ("choose", "breath-late", "she asked for it")

    drive(app, journey, size=(120, 40))


@pytest.mark.parametrize(
    "key", ["s", "t", *(pytest.param(key, marks=pytest.mark.thorough) for key in "afcerCFLT")]
)
def test_escape_keeps_what_was_typed_in_every_form(tmp_path, key):
    app = an_app(a_club(tmp_path), tmp_path)

    async def journey(pilot):
        await press(pilot, key)
        at = app.screen.query_one(FormSheet).at
        await press(pilot, *"12", "escape", key)
        assert app.screen.query_one(FormSheet).values[at] == "12"

    drive(app, journey)


@pytest.mark.parametrize(
    ("key", "values"),
    [
        ("t", {"test": "t400", "time1": "6:30"}),
        pytest.param("r", {"score catch": "3"}, marks=pytest.mark.thorough),
        pytest.param("f", {"fault": "entry-crossing", "step": "open"}, marks=pytest.mark.thorough),
        pytest.param("c", {"text": "legs like a tail"}, marks=pytest.mark.thorough),
        pytest.param("e", {"kind": "race"}, marks=pytest.mark.thorough),
        pytest.param("L", {"sessions": "3"}, marks=pytest.mark.thorough),
    ],
)
def test_it_is_said_where_the_swimmer_logged_for_is_archived(tmp_path, key, values):
    store = a_club(tmp_path)
    archive_swimmer(a_session(store, today=TODAY, now=AT), "Bo Lind", back=False)
    app = an_app(store, tmp_path)

    async def journey(pilot):
        await press(pilot, key)
        await fill(pilot, swimmer="Ada Fjord", **values)
        await press(pilot, "ctrl+s")
        assert isinstance(app.screen, RosterScreen)
        assert "is archived" not in words(app)
        await press(pilot, key)
        await fill(pilot, swimmer="bo lind", **values)
        await press(pilot, "ctrl+s")
        assert isinstance(app.screen, RosterScreen)
        assert f"Bo Lind is archived, since {TODAY}, and off the roster; logged all the same" in words(app)
        assert "slackwater swimmer archive 'Bo Lind' --back" in words(app)

    drive(app, journey)


def test_a_target_with_a_point_for_the_colon_is_asked_about(tmp_path):
    store = a_club(tmp_path)
    app = an_app(store, tmp_path)

    async def journey(pilot):
        app.push_screen(AddSwimmerScreen())
        await settled(pilot)
        app.screen.query_one(FormSheet).fill({"swimmer": "Eva Mole", "target_pace": "1.32"})
        await press(pilot, "ctrl+s")
        assert isinstance(app.screen, AddSwimmerScreen)
        assert "did you mean 1:32?" in words(app)
        app.screen.query_one(FormSheet).fill({"target_pace": "1:32"})
        await press(pilot, "ctrl+s")
        with store.read() as reader:
            assert reader.swimmer("Eva Mole").record.target_pace == 92.0

    drive(app, journey)


def test_a_squad_row_with_two_readings_is_asked_about_and_courses_are_echoed(tmp_path):
    store = a_club(tmp_path)
    app = an_app(store, tmp_path)

    async def journey(pilot):
        app.push_screen(SquadScreen())
        await settled(pilot)
        sheet = app.screen.query_one(FormSheet)
        sheet.fill({"test": "t400", "swimmer Ada Fjord": "640", "swimmer Bo Lind": "6:20"})
        await press(pilot, "ctrl+s")
        assert isinstance(app.screen, SquadScreen)
        assert "6:40 or 10:40" in sheet.problems["swimmer Ada Fjord"]
        sheet.fill({"swimmer Ada Fjord": "6:40"})
        await press(pilot, "ctrl+s")
        assert "Logged t400 for 2 swimmers, in SCM." in words(app)

    drive(app, journey)
