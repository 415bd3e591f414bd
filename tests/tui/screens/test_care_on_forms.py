"""A form says the cautions of what is typed while it is typed, and again when it is saved."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from tests.builders import a_session
from tests.tui.clubs import AT, TODAY, a_club, an_app
from tests.tui.driving import drive, press, settled, words
from tracker.model.practices import Caution
from tracker.output.cautions import caution
from tracker.settings import DEFAULT
from tracker.tui.app import SlackwaterApp
from tracker.tui.context import AppContext
from tracker.tui.widgets.form_sheet import FormSheet

BREATH = caution(Caution.BREATH)
MAXIMAL_EFFORT = caution(Caution.MAXIMAL_EFFORT)
OPEN_WATER = caution(Caution.OPEN_WATER)
PADDLES = caution(Caution.PADDLES)


async def fill(pilot: Any, **values: str) -> None:
    pilot.app.screen.query_one(FormSheet).fill(values)
    await settled(pilot)


THOROUGH = pytest.mark.thorough


@pytest.mark.parametrize(
    ("key", "values", "said"),
    [
        pytest.param(
            "c", {"kind": "drill", "text": "underwater 25s no breath"}, [BREATH], marks=pytest.mark.thorough
        ),
        ("c", {"kind": "drill", "text": "all out with paddles"}, [MAXIMAL_EFFORT, PADDLES]),
        ("c", {"act": "stop", "kind": "drill", "text": "paddles"}, []),
        pytest.param(
            "e", {"kind": "camp", "note": "a week at the lake"}, [OPEN_WATER], marks=pytest.mark.thorough
        ),
        ("e", {"kind": "camp", "note": "a week in the hall"}, []),
        pytest.param("t", {"course": "OW"}, [OPEN_WATER], marks=THOROUGH),
        ("t", {"kit": "paddles", "note": "hold your breath"}, [BREATH, PADDLES]),
    ],
)
def test_what_is_typed_brings_its_cautions_and_nothing_else_does(tmp_path, key, values, said):
    app = an_app(a_club(tmp_path), tmp_path)

    async def journey(pilot):
        await press(pilot, "enter", key)
        assert "caution:" not in words(app)
        await fill(pilot, **values)
        found = words(app)
        assert [one for one in (BREATH, MAXIMAL_EFFORT, OPEN_WATER, PADDLES) if one in found] == said

    drive(app, journey)


def test_a_drill_that_was_saved_says_its_caution_and_that_of_its_fault_once(tmp_path):
    app = an_app(a_club(tmp_path), tmp_path)

    async def journey(pilot):
        await press(pilot, "enter", "c")
        await fill(pilot, kind="drill", text="hold your breath, with paddles", fault="catch-deep")
        await press(pilot, "ctrl+s")
        found = words(app)
        assert "started the drill" in found
        assert found.count(BREATH) == 1
        assert found.count(PADDLES) == 1

    drive(app, journey)


@pytest.mark.parametrize("on", [True, False])
def test_the_body_part_is_asked_for_and_cautioned_only_where_health_is_on(tmp_path, on):
    session = a_session(a_club(tmp_path), today=TODAY, now=AT, settings=replace(DEFAULT, health=on))
    app = SlackwaterApp(AppContext(session, tmp_path / "state", day_fixed=True))

    async def journey(pilot):
        await press(pilot, "enter", "e")
        assert ("body part" in words(app)) is on
        if on:
            await fill(pilot, kind="injury", body_part="shoulder")
            assert caution(Caution.SHOULDER) in words(app)

    drive(app, journey)
