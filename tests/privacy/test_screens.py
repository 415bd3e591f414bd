"""While health is off no screen shows an illness or injury: every screen there is is walked."""

from __future__ import annotations

import re
from collections.abc import Collection
from pathlib import Path

import pytest

from tests.builders import a_session
from tests.privacy.canary_club import ON, WHO, canary_club, found_in
from tests.tui.clubs import TODAY
from tests.tui.driving import drive, press, settled, shown
from tests.tui.test_every_key import WAYS
from tracker.settings import DEFAULT, Settings
from tracker.store.database import Store
from tracker.tui.app import SlackwaterApp
from tracker.tui.context import AppContext, FixedConfig

NAMED = {"\r": "enter", "?": "question_mark"}
OTHERWISE = {
    "ImportPreviewScreen": "shows a file, not the record",
    "ConfirmScreen": "asks about what was pressed",
    "TooSmallScreen": "says that the window is too small",
}
"""Screens that the walk does not reach -> why they show nothing on record."""
ABOUT_ONE = "SwimmerScreen"


def _walk(folder: Path, settings: Settings, screens: Collection[str]) -> tuple[dict[str, str], set[str]]:
    """Return the words of screens by their names, and the screens that were in front."""
    store = Store.open(canary_club(folder))
    app = SlackwaterApp(
        AppContext(
            a_session(store, today=TODAY, settings=settings),
            folder / "state",
            day_fixed=True,
            config=FixedConfig(settings),
        )
    )
    said: dict[str, str] = {}
    reached: set[str] = set()

    async def journey(pilot) -> None:
        for name, way in WAYS.items():
            if name not in screens:
                continue
            keys = [NAMED.get(key, key) for key in way]
            if keys[:1] == ["enter"]:
                app.open_swimmer(WHO, ())
                await settled(pilot)
                del keys[0]
            await press(pilot, *keys)
            reached.add(type(app.screen).__name__)
            said[name] = _everything(app)
            if name == ABOUT_ONE:
                await press(pilot, "left", "left", "b")
                said[f"{name}, read"] = _everything(app)
            while len(app.screen_stack) > 2:
                app.pop_screen()
                await settled(pilot)
        await press(pilot, "u")
        said["undone"] = _everything(app)
        await press(pilot, "U")
        said["done again"] = _everything(app)

    drive(app, journey, size=(200, 60))
    store.close()
    return said, reached


def _everything(app: SlackwaterApp) -> str:
    """Return what is on the screen in front and what its copy key would copy."""
    spoken = getattr(app.screen, "spoken", str)
    return re.sub(r"[│┃┆|]", " ", f"{shown(app)}\n{spoken()}")


SHOW_IT = {"SwimmerScreen", "WhyScreen", "HistoryScreen", "LogEventScreen"}
"""Screens that show health where it is on."""


@pytest.mark.parametrize(
    "screens",
    [SHOW_IT, pytest.param(WAYS.keys() - OTHERWISE.keys(), marks=pytest.mark.thorough)],
    ids=["those that show it", "all"],
)
def test_no_screen_lets_health_out_while_it_is_off(tmp_path: Path, screens: Collection[str]) -> None:
    said, reached = _walk(tmp_path, DEFAULT, screens)
    kinds = {name: found_in(text) for name, text in said.items()}
    assert {name: found for name, found in kinds.items() if found} == {}
    assert set(screens) - reached <= {"WelcomeScreen"}


def test_the_walk_sees_what_it_looks_for_where_health_is_on(tmp_path: Path) -> None:
    said, _ = _walk(tmp_path, ON, SHOW_IT)
    assert SHOW_IT | {"undone", "done again"} <= {name for name, text in said.items() if found_in(text)}
