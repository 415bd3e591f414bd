from __future__ import annotations

import pytest

from tests.builders import a_session
from tests.tui.clubs import AT, TODAY, a_club, an_app
from tests.tui.driving import drive, press, shown
from tracker.app.swimmers import edit_swimmer
from tracker.model.swimmer import Swimmer
from tracker.tui.screens.reading import WhyScreen
from tracker.tui.screens.roster import RosterScreen
from tracker.tui.widgets.lines import TextLine


def test_stretch_and_fault_are_seen_in_one_look(tmp_path):
    app = an_app(a_club(tmp_path), tmp_path)

    async def journey(pilot):
        await press(pilot, "enter")
        text = shown(app)
        assert "■ On a plateau since about" in text
        assert "Left uncorrected when it began:" in text
        assert "faster ▲" in text
        assert "flat from" in text
        assert "breath-late" in text
        assert "open━" in text
        assert "corrected·" in text
        assert "├camp" in text

    drive(app, journey)


@pytest.mark.parametrize(("size", "seen"), [((80, 24), False), ((120, 40), True)])
def test_a_low_window_leaves_the_month_ago_to_why(tmp_path, size, seen):
    """On 24 rows the chart keeps at least ten of them between its name and its dates."""
    app = an_app(a_club(tmp_path), tmp_path)

    async def journey(pilot):
        await press(pilot, "enter")
        assert ("Until about" in shown(app)) is seen
        rows = shown(app).splitlines()
        top = next(i for i, row in enumerate(rows) if "faster ▲" in row)
        axis = next(i for i, row in enumerate(rows) if "└─" in row or "└━" in row)
        assert axis - top >= 10
        await press(pilot, "y")
        assert "Until about" in shown(app)

    drive(app, journey, size)


def test_the_cursor_reads_a_test_its_faults_and_what_was_in_use(tmp_path):
    app = an_app(a_club(tmp_path), tmp_path)

    async def journey(pilot):
        await press(pilot, "enter", "home", *["l"] * 24)
        text = shown(app)
        assert "kick-wide in work" in text
        assert "in use: cue feet brush" in text

    drive(app, journey, size=(120, 40))


def test_zoom_pan_and_whole(tmp_path):
    app = an_app(a_club(tmp_path), tmp_path)

    async def journey(pilot):
        await press(pilot, "enter")
        whole = shown(app)
        await press(pilot, "z")
        near = shown(app)
        assert near != whole
        await press(pilot, "comma")
        assert shown(app) != near
        await press(pilot, "full_stop", "0")
        assert shown(app) == whole

    drive(app, journey)


def test_why_gives_reasons_and_rivals(tmp_path):
    app = an_app(a_club(tmp_path), tmp_path)

    async def journey(pilot):
        await press(pilot, "enter", "y")
        assert isinstance(app.screen, WhyScreen)
        text = shown(app)
        assert "What it rests on" in text
        assert "Also near the onset: a camp" in text
        assert "Evidence:" in text
        await press(pilot, "escape", "escape")
        assert "Roster" in shown(app)

    drive(app, journey, size=(120, 40))


def test_a_swimmer_with_too_few_tests_is_told_what_is_missing(tmp_path):
    app = an_app(a_club(tmp_path), tmp_path)

    async def journey(pilot):
        await press(pilot, "slash", *"dan", "enter", "enter")
        text = " ".join(shown(app).split())
        assert "Too early to say" in text
        assert "One test scatters by about" in text

    drive(app, journey)


def test_undoing_whom_the_screens_show_goes_back_to_the_roster_and_says_what_was_undone(tmp_path):
    store = a_club(tmp_path)
    with store.write(who="test", what="add Eve Lund", at=AT) as writer:
        writer.add([Swimmer(swimmer="Eve Lund")])
    app = an_app(store, tmp_path)

    async def journey(pilot):
        await press(pilot, "slash", *"eve", "enter", "enter", "y")
        assert isinstance(app.screen, WhyScreen)
        await press(pilot, "u")
        assert isinstance(app.screen, RosterScreen)
        assert "Undone: add Eve Lund" in shown(app)
        await press(pilot, "escape", "enter", "u")
        assert isinstance(app.screen, RosterScreen)
        assert "Undone: a club" in shown(app)

    drive(app, journey)


@pytest.mark.parametrize("sex", ["", "m"])
def test_what_growth_alone_gives_stands_under_the_verdict(tmp_path, sex):
    store = a_club(tmp_path)
    edit_swimmer(a_session(store), "Ada Fjord", {"born": str(TODAY.year - 14), "sex": sex})
    app = an_app(store, tmp_path)

    async def journey(pilot):
        await press(pilot, "enter")
        text = " ".join(shown(app).split())
        verdict, line = text.index("On a plateau since about"), text.index("At about 1")
        assert verdict < line < text.index("Left uncorrected when it began:")
        assert ("boys gain about" in text) is (sex == "m")
        assert ("swimmers gain about" in text) is (sex == "")

    drive(app, journey)


def test_nothing_is_said_of_age_where_no_year_of_birth_is_on_record(tmp_path):
    app = an_app(a_club(tmp_path), tmp_path)

    async def journey(pilot):
        await press(pilot, "enter")
        assert "At about" not in shown(app)
        assert not app.screen.query_one("#age", TextLine).display

    drive(app, journey)
