"""The screens fit 80 x 24 to 250 x 60; a smaller window says so and ignores keys."""

from __future__ import annotations

import random

import pytest

from tests.tui.clubs import a_club, an_app
from tests.tui.driving import drive, press, settled, shown
from tracker.tui.screens.frame import TooSmallScreen
from tracker.tui.screens.roster import RosterScreen


@pytest.mark.parametrize("size", [(60, 15), (40, 10), (2, 1), (79, 24)])
def test_a_small_window_says_so_and_ignores_keys(tmp_path, size):
    app = an_app(a_club(tmp_path), tmp_path)

    async def journey(pilot):
        assert isinstance(app.screen, TooSmallScreen)
        before = len(app.screen_stack)
        await press(pilot, "t", "enter", "question_mark", "ctrl+p", "escape", "u")
        assert isinstance(app.screen, TooSmallScreen)
        assert len(app.screen_stack) == before
        if size[0] > 30:
            said = " ".join(shown(app).split())
            assert f"too small: {size[0]} x {size[1]}; the screens need 80 x 24. ctrl+q quits." in said
        await pilot.resize_terminal(80, 24)
        await settled(pilot)
        assert isinstance(app.screen, RosterScreen)
        assert "Ada Fjord" in shown(app)

    drive(app, journey, size=size)


def test_the_smallest_window_is_laid_out_and_then_left_alone(tmp_path):
    """A scrollbar that comes and goes with the room it takes would lay it out sixty times a second."""
    app = an_app(a_club(tmp_path), tmp_path)
    laid_out: list[object] = []

    async def journey(pilot):
        assert isinstance(app.screen, TooSmallScreen)
        app.screen.screen_layout_refresh_signal.subscribe(app.screen, laid_out.append)
        for _ in range(20):
            await pilot.pause(0.03)
        assert len(laid_out) < 5

    drive(app, journey, size=(2, 1))


@pytest.mark.parametrize(
    "times", [10, pytest.param(40, marks=pytest.mark.thorough), pytest.param(200, marks=pytest.mark.slow)]
)
def test_resizes_break_nothing(tmp_path, times):
    app = an_app(a_club(tmp_path), tmp_path)
    sizes = random.Random(7)  # noqa: S311 (sizes of windows, seeded)

    async def journey(pilot):
        await press(pilot, "enter")
        for _ in range(times):
            await pilot.resize_terminal(sizes.randint(1, 250), sizes.randint(1, 60))
            await pilot.pause()
        await pilot.resize_terminal(120, 40)
        await settled(pilot)
        assert "faster ▲" in shown(app)
        await press(pilot, "escape")
        assert "Ada Fjord" in shown(app)

    drive(app, journey)
