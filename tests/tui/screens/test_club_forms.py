"""Weeks, consents, own tests, own faults and draws: each as its command does it; `u` takes it back."""

from __future__ import annotations

from typing import Any

import pytest

from tests.tui.clubs import AT, TODAY, a_club, an_app
from tests.tui.driving import drive, press, settled, shown, words
from tracker.model.event import Load
from tracker.model.fault import OwnFault
from tracker.model.swim import Swim
from tracker.model.swim_test import SwimTest
from tracker.model.swimmer import Choice, Consent, Swimmer
from tracker.output.cautions import minor_consent
from tracker.tui.remedies import SCREENS
from tracker.tui.screens.roster import RosterScreen
from tracker.tui.screens.swimmer import SwimmerScreen
from tracker.tui.widgets.form_sheet import FormSheet
from tracker.tui.widgets.lines import TextLine

ADA = "Ada Fjord"


def every(store: Any, kind: Any, /, **equal: Any) -> list[Any]:
    with store.read() as reader:
        return [kept.record for kept in reader.all(kind, **equal)]


async def fill(pilot: Any, **values: str) -> None:
    pilot.app.screen.query_one(FormSheet).fill(values)
    await settled(pilot)


def problems(app: Any) -> Any:
    return app.screen.query_one(FormSheet).problems


def test_a_week_is_logged_replaced_and_undone(tmp_path):
    store = a_club(tmp_path)
    app = an_app(store, tmp_path)

    async def journey(pilot):
        await press(pilot, "enter", "L")
        assert app.screen.query_one(FormSheet).values["swimmer"] == ADA
        assert "No week is on record yet." in words(app)
        await fill(pilot, sessions="three")
        assert not problems(app)
        await press(pilot, "ctrl+s")
        assert "'three' is not a number" in words(app)
        await fill(pilot, sessions="3", metres="7800")
        await press(pilot, "ctrl+s")
        assert isinstance(app.screen, SwimmerScreen)
        (week,) = every(store, Load)
        assert (week.swimmer, week.sessions, week.metres) == (ADA, 3, 7800)
        assert week.week <= TODAY
        assert week.week.weekday() == 0
        await press(pilot, "L")
        assert f"On record, week of {week.week}: 3 sessions, 7800 m." in words(app)
        await fill(pilot, week=TODAY.isoformat(), sessions="1", metres="")
        await press(pilot, "ctrl+s")
        assert "1 session, 7800 m, instead of what was logged before." in words(app)
        assert [week.sessions for week in every(store, Load)] == [1]
        await press(pilot, "u", "u")
        assert every(store, Load) == []

    drive(app, journey)


def test_a_week_without_numbers_or_of_nobody_is_refused_at_its_field(tmp_path):
    app = an_app(a_club(tmp_path), tmp_path)

    async def journey(pilot):
        await press(pilot, "L", "ctrl+s")
        assert "give one or both" in words(app)
        await fill(pilot, swimmer="Nobody Here")
        assert "swimmer" in problems(app)
        await press(pilot, "ctrl+s")
        assert "no swimmer is called 'Nobody Here'" in words(app)

    drive(app, journey)


def test_a_form_takes_a_part_of_the_name_and_says_who_is_meant(tmp_path):
    store = a_club(tmp_path)
    app = an_app(store, tmp_path)

    async def journey(pilot):
        await press(pilot, "L")
        await fill(pilot, swimmer="marsh", sessions="3")
        assert "Swimmer: Cleo Marsh." in words(app)
        await press(pilot, "ctrl+s")
        assert [week.swimmer for week in every(store, Load)] == ["Cleo Marsh"]

    drive(app, journey)


def test_a_consent_is_given_withdrawn_and_both_undone(tmp_path):
    store = a_club(tmp_path)
    app = an_app(store, tmp_path)

    async def journey(pilot):
        await press(pilot, "enter", "C")
        assert "No consent is written down yet." in words(app)
        await press(pilot, "ctrl+s")
        assert "what for: is missing; write record, pages or clips" in words(app)
        assert every(store, Consent) == []
        await fill(pilot, purpose="record", how="on paper", until="2027-01-01")
        await press(pilot, "ctrl+s")
        (given,) = every(store, Consent)
        assert (given.purpose, given.given_by, given.how, given.date) == ("record", "self", "on paper", TODAY)
        await press(pilot, "C")
        assert "On record: for being on record, given by the swimmer" in words(app)
        await fill(pilot, act="withdraw", purpose="record")
        assert "ground" not in app.screen.query_one(FormSheet).values
        await press(pilot, "ctrl+s")
        assert every(store, Consent)[0].withdrawn == TODAY
        assert "stays until it is erased ('slackwater swimmer erase')" in words(app)
        await press(pilot, "u")
        assert every(store, Consent)[0].withdrawn is None
        await press(pilot, "u")
        assert every(store, Consent) == []

    drive(app, journey)


THOROUGH = pytest.mark.thorough


@pytest.mark.parametrize(
    ("typed", "field", "said"),
    [
        ({"act": "maybe", "purpose": "pages"}, "act", "is neither give nor withdraw"),
        pytest.param(
            {"purpose": "races"},
            "purpose",
            "is none of 'record', 'pages', 'clips'",
            marks=pytest.mark.thorough,
        ),
        pytest.param(
            {"purpose": "pages", "given_by": "coach"},
            "given_by",
            "is none of 'self', 'guardian'",
            marks=pytest.mark.thorough,
        ),
        ({"purpose": "pages", "until": "2020-01-01"}, "until", "lies before the consent"),
        pytest.param(
            {"purpose": "pages", "date": "tomorrow"}, "date", "is not a date", marks=pytest.mark.thorough
        ),
    ],
)
def test_what_is_no_consent_is_refused_at_its_field(tmp_path, typed, field, said):
    store = a_club(tmp_path)
    app = an_app(store, tmp_path)

    async def journey(pilot):
        await press(pilot, "C")
        await fill(pilot, **typed)
        await press(pilot, "ctrl+s")
        assert field in problems(app)
        assert said in words(app)
        assert every(store, Consent) == []

    drive(app, journey)


def test_a_minor_who_consents_alone_is_remarked_upon(tmp_path):
    store = a_club(tmp_path)
    with store.write(who="test", what="add", at=AT) as writer:
        writer.add([Swimmer(swimmer="Eve New", born=TODAY.year - 14)])
    app = an_app(store, tmp_path)

    async def journey(pilot):
        await press(pilot, "C")
        await fill(pilot, swimmer="Eve New", purpose="pages")
        await press(pilot, "ctrl+s")
        assert minor_consent(SCREENS) in words(app)

    drive(app, journey)


def test_an_own_test_is_added_logged_and_undone(tmp_path):
    store = a_club(tmp_path)
    app = an_app(store, tmp_path)

    async def journey(pilot):
        await press(pilot, "T", *"css", "ctrl+s")
        assert "is there already" in words(app)
        await fill(pilot, test="lake-750", distances="750,250", name="once round the buoys")
        await press(pilot, "ctrl+s")
        assert isinstance(app.screen, RosterScreen)
        (added,) = every(store, SwimTest)
        assert (added.test, added.distances, added.kind) == ("lake-750", "750 250", "distances")
        await press(pilot, "t")
        await fill(pilot, swimmer=ADA, test="lake-750", time1="12:30", time2="4:00")
        await press(pilot, "ctrl+s")
        assert [swim.distance_m for swim in every(store, Swim, test="lake-750")] == [750.0, 250.0]
        await press(pilot, "u", "u")
        assert every(store, SwimTest) == []

    drive(app, journey)


def test_a_test_of_a_duration_asks_for_its_time(tmp_path):
    store = a_club(tmp_path)
    app = an_app(store, tmp_path)

    async def journey(pilot):
        await press(pilot, "T", *"t20")
        await fill(pilot, kind="duration")
        assert "distances" not in app.screen.query_one(FormSheet).values
        await press(pilot, "ctrl+s")
        assert "is missing; write it as 20:00" in words(app)
        await fill(pilot, duration="20:75")
        await press(pilot, "ctrl+s")
        assert "'20:75' has 75 seconds" in words(app)
        assert "duration" in problems(app)
        await fill(pilot, duration="20:00")
        await press(pilot, "ctrl+s")
        assert [added.duration_s for added in every(store, SwimTest)] == [1200.0]

    drive(app, journey)


def test_an_own_fault_is_added_found_by_typing_and_undone(tmp_path):
    store = a_club(tmp_path)
    app = an_app(store, tmp_path)

    async def journey(pilot):
        await press(pilot, "F")
        await fill(pilot, fault="wrist", name="wrist bends")
        await press(pilot, "ctrl+s")
        assert "write 'own-wrist'" in words(app)
        await fill(pilot, fault="own-wrist", cues="flat hand; push the wall", answers="quick")
        await press(pilot, "ctrl+s")
        (added,) = every(store, OwnFault)
        assert (added.fault, added.name, added.answers) == ("own-wrist", "wrist bends", "quick")
        assert added.cues.split("\n") == ["flat hand", "push the wall"]
        await press(pilot, "f")
        await fill(pilot, fault="wrist")
        assert "Cues: flat hand; push the wall" in words(app)
        await press(pilot, "escape", "u")
        assert every(store, OwnFault) == []

    drive(app, journey)


PLATEAUS = {
    "Ada Fjord": [(7.0, 1.2), (9.0, 0.0)],
    "Bo Lind": [(7.0, 1.2), (9.0, 0.0)],
    "Cleo Marsh": [(13.0, 0.9)],
}


def test_a_draw_says_first_what_it_can_show_and_is_undone_as_one(tmp_path):
    from tests.builders import a_step

    store = a_club(tmp_path, PLATEAUS)
    with store.write(who="test", what="a fault of Bo", at=AT) as writer:
        writer.add([a_step(110, "open", "entry-crossing", swimmer="Bo Lind", severity=2)])
    app = an_app(store, tmp_path)

    async def journey(pilot):
        await press(pilot, "w", "D")
        said = words(app)
        assert "Before it starts: with 1 against 1 swimmer" in said
        assert "Ada Fjord: breath comes late" in said
        assert "Bo Lind: hand crosses at entry" in said
        assert every(store, Choice) == []
        await press(pilot, "ctrl+s")
        drawn = every(store, Choice)
        assert {one.swimmer for one in drawn} == {"Ada Fjord", "Bo Lind"}
        assert sorted(one.value for one in drawn) == ["later", "now"]
        said = words(app)
        assert "Drawn for 2 swimmers; 'u' takes it back." in said
        assert said.count("drawn by lot to start on") == 2
        await press(pilot, "u")
        assert every(store, Choice) == []
        assert "Drawn so far" not in shown(app)

    drive(app, journey)


def test_one_swimmers_start_can_be_left_to_the_lot(tmp_path):
    store = a_club(tmp_path, PLATEAUS)
    app = an_app(store, tmp_path)

    async def journey(pilot):
        await press(pilot, "enter", "n", "D")
        assert "With nobody in one half no effect can be shown" in words(app)
        await press(pilot, "ctrl+s")
        assert [one.swimmer for one in every(store, Choice)] == ["Ada Fjord"]

    drive(app, journey)


def test_where_nobody_can_be_drawn_it_says_why_and_draws_nothing(tmp_path):
    store = a_club(tmp_path, PLATEAUS)
    app = an_app(store, tmp_path)

    async def journey(pilot):
        await press(pilot, "w", "D", "ctrl+s")
        assert "Nobody to draw: it takes a swimmer with a fault proposed" in words(app)
        assert "Drawn so far Ada Fjord: breath comes late" in words(app)
        await press(pilot, "ctrl+s")
        assert "There is nobody to draw." in words(app)
        assert len(every(store, Choice)) == 1

    drive(app, journey)


def test_erasing_is_a_command_and_the_screen_says_which(tmp_path):
    app = an_app(a_club(tmp_path), tmp_path)

    async def journey(pilot):
        await press(pilot, "enter", "X")
        said = app.screen.query_one("#question TextLine", TextLine).text
        assert "everything on record is kept" in said
        assert "slackwater swimmer erase 'Ada Fjord'" in said

    drive(app, journey)
