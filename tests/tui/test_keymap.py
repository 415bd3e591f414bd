from __future__ import annotations

import pytest

from tests.tui.clubs import a_club, an_app
from tests.tui.driving import drive, press
from tracker.errors import UsageError
from tracker.tui.keymap import checked_keys
from tracker.tui.screens.reading import HistoryScreen


def test_no_keys_are_no_work():
    assert checked_keys({}) == {}


def test_signs_are_given_the_librarys_names():
    assert checked_keys({"keys": "?,f12", "history": "f9"}) == {"keys": "question_mark,f12", "history": "f9"}


def test_an_unknown_action_is_refused_with_those_that_are_known():
    with pytest.raises(UsageError, match=r"'fly', which is no action; known are .*log-test"):
        checked_keys({"fly": "x"})


def test_two_actions_of_one_place_cannot_have_one_key():
    with pytest.raises(UsageError, match=r"gives 't' to both"):
        checked_keys({"history": "t"})


def test_two_actions_can_change_places():
    assert checked_keys({"history": "t", "log-test": "H"}) == {"history": "t", "log-test": "H"}


def test_the_keys_hold_on_the_screens(tmp_path):
    app = an_app(a_club(tmp_path), tmp_path, keys=checked_keys({"history": "t", "log-test": "H"}))

    async def journey(pilot):
        await press(pilot, "t")
        assert isinstance(app.screen, HistoryScreen)

    drive(app, journey)
