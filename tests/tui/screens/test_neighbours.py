"""Next and previous swimmer inside every detail screen, in the order of the roster as it was left."""

from __future__ import annotations

from typing import Any

import pytest

from tests.tui.clubs import a_club, an_app
from tests.tui.driving import drive, press, shown, words
from tracker.tui.screens.keys import bindings_by_place
from tracker.tui.screens.reading import WhyScreen
from tracker.tui.screens.roster import RosterScreen
from tracker.tui.screens.swimmer import SwimmerScreen
from tracker.tui.widgets.long_list import LongList


def order_of(app: Any) -> list[str]:
    return [row.key for row in app.screen.query_one(LongList).rows]


@pytest.mark.parametrize(("way", "name"), [("", "Swimmer"), ("y", "Why"), ("n", "Next"), ("v", "Swims")])
def test_each_detail_goes_on_to_the_next_swimmer_and_back(tmp_path, way, name):
    app: Any = an_app(a_club(tmp_path), tmp_path)

    async def journey(pilot):
        order = order_of(app)
        await press(pilot, "enter", *way, "J")
        assert name == app.screen.NAME
        assert app.screen.swimmer() == order[1]
        assert f"{order[1]}, 2 of 4; before: {order[0]}; next: {order[2]}" in words(app)
        await press(pilot, "J", "J")
        assert app.screen.swimmer() == order[3]
        await press(pilot, "J")
        assert app.screen.swimmer() == order[3]
        assert f"{order[3]} is the last of 4" in words(app)
        await press(pilot, "K", "K", "K", "K")
        assert app.screen.swimmer() == order[0]
        assert f"{order[0]} is the first of 4" in words(app)
        keys = dict(bindings_by_place(app.screen)["On this screen"])
        assert keys["J"] == "next swimmer, in the roster's order"
        assert keys["K"] == "the swimmer before, in the roster's order"
        assert "J K" in shown(app).splitlines()[-1]

    drive(app, journey)


def test_what_is_shown_is_the_neighbours(tmp_path):
    app: Any = an_app(a_club(tmp_path), tmp_path)

    async def journey(pilot):
        await press(pilot, "enter")
        assert "plateau" in words(app)
        await press(pilot, "J")
        assert "Cleo Marsh" in shown(app).splitlines()[0]
        assert "Slipping since" in words(app)
        assert "On a plateau" not in words(app)

    drive(app, journey)


def test_it_goes_by_the_filter_and_the_order_as_they_were_left(tmp_path):
    app: Any = an_app(a_club(tmp_path), tmp_path)

    async def journey(pilot):
        await press(pilot, "slash", *"tri", "enter")
        order = order_of(app)
        assert len(order) == 2
        await press(pilot, "enter", "S", "J")  # seen: the roster behind moves, the order stays
        assert app.screen.swimmer() == order[1]
        await press(pilot, "J")
        assert "is the last of 2" in words(app)

    drive(app, journey)


def test_the_screens_behind_and_the_roster_follow(tmp_path):
    app: Any = an_app(a_club(tmp_path), tmp_path)

    async def journey(pilot):
        order = order_of(app)
        await press(pilot, "enter", "y", "J", "J")
        assert isinstance(app.screen, WhyScreen)
        await press(pilot, "escape")
        assert isinstance(app.screen, SwimmerScreen)
        assert app.screen.swimmer() == order[2]
        assert order[2] in shown(app).splitlines()[0]
        assert "Working it out" not in shown(app)
        await press(pilot, "escape")
        assert isinstance(app.screen, RosterScreen)
        assert app.screen.swimmer() == order[2]

    drive(app, journey)


def test_a_swimmer_who_is_gone_is_passed_over(tmp_path):
    store = a_club(tmp_path)
    app: Any = an_app(store, tmp_path)

    async def journey(pilot):
        order = order_of(app)
        await press(pilot, "enter", "J", "X", "y")  # archived: back on the roster
        await press(pilot, "g", "enter", "J")
        assert app.screen.swimmer() == order[2]

    drive(app, journey)


def test_from_the_board_it_goes_by_the_board(tmp_path):
    app: Any = an_app(a_club(tmp_path), tmp_path)

    async def journey(pilot):
        await press(pilot, "w", "enter", "J")
        assert "Ada Fjord is the last of 1" in words(app)

    drive(app, journey)
