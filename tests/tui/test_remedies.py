"""What went wrong on a screen is mended with its keys and fields: nobody there has flags."""

from __future__ import annotations

import pytest

from tests.tui.clubs import a_club, an_app
from tests.tui.driving import drive, press, settled, words
from tracker.errors import EntryError, OptionError, Problem, UnknownNameError
from tracker.remedies import Mend
from tracker.tui.remedies import failure_words
from tracker.tui.screens.form import FormScreen
from tracker.tui.widgets.form_sheet import FormSheet


@pytest.mark.parametrize(
    ("way", "typed", "said"),
    [
        (
            ("e",),
            {"kind": "injury", "from": "2026-01-01"},
            "or switch it on in the settings (O) if the swimmer has agreed",
        ),
        (("enter", "n", "b"), {"fault": "breath-late"}, "kept with its reason; fill in reason"),
        (
            ("enter", "n", "b"),
            {"fault": "entry-crossing", "reason": "why"},
            "has no uncorrected entry-crossing on record; open it first (f)",
        ),
        (
            ("t",),
            {"swimmer": "Zoe", "time1": "6:40"},
            "no swimmer is called 'Zoe'; the roster names everybody",
        ),
    ],
    ids=["health", "reason", "fault", "swimmer"],
)
def test_a_screen_says_its_own_way_out(tmp_path, way, typed, said):
    app = an_app(a_club(tmp_path), tmp_path)

    async def journey(pilot):
        await press(pilot, *way)
        app.screen.query_one(FormSheet).fill(typed)
        await settled(pilot)
        await press(pilot, "ctrl+s")
        assert said in words(app)
        assert "--" not in words(app)

    drive(app, journey, size=(140, 40))


def test_an_import_is_told_at_which_field_and_never_to_accept_what_it_cannot(tmp_path):
    app = an_app(a_club(tmp_path), tmp_path)
    (tmp_path / "mine.csv").write_text("date,time\n2025-03-01,6:45\n", encoding="utf-8")

    async def journey(pilot):
        await press(pilot, "i")
        sheet = app.screen.query_one(FormSheet)
        sheet.fill({"path": str(tmp_path / "mine.csv")})
        await press(pilot, "ctrl+s")
        assert "names no distance and no test; say at 'test' which it was" in words(app)
        sheet.fill({"test": "t400"})
        await press(pilot, "ctrl+s")
        assert "4 swimmers are on record; say it at 'whose swims'" in words(app)
        assert "accepts it" not in words(app)
        await press(pilot, "ctrl+y")
        assert "There is nothing to accept" in words(app)
        assert isinstance(app.screen, FormScreen)

    drive(app, journey, size=(140, 40))


def test_what_looks_wrong_is_accepted_with_its_key(tmp_path):
    app = an_app(a_club(tmp_path), tmp_path)

    async def journey(pilot):
        await press(pilot, "t")
        app.screen.query_one(FormSheet).fill({"swimmer": "Ada Fjord", "test": "t400", "time1": "2:00"})
        await settled(pilot)
        await press(pilot, "ctrl+s")
        assert "faster than anybody swims (0:40)" in words(app)
        assert ". ctrl+y accepts it as it is." in words(app)
        await press(pilot, "ctrl+y")
        assert "Logged for Ada Fjord" in words(app)

    drive(app, journey, size=(140, 40))


def test_each_kind_of_error_is_worded_whole():
    assert failure_words(OptionError("per_week", "is for a drill", Mend.SAY_SIDE)) == (
        "per week is for a drill; say which: left or right"
    )
    missing = Problem("target_pace", "", "is missing", remedy=Mend.EDIT_SWIMMER)
    assert failure_words(EntryError((missing, missing))) == "; ".join(
        ["target pace: is missing; mend it with E on the swimmer's screen"] * 2
    )
    assert failure_words(UnknownNameError("test", "x", ("t400",))) == (
        "no test is called 'x'; did you mean t400?"
    )
