"""Every key can be found, none clashes, all exist on keyboards of other countries."""

from __future__ import annotations

import datetime as dt
import importlib
import pkgutil
from functools import cache
from typing import Any

import pytest
from textual.binding import Binding
from textual.screen import Screen
from textual.widgets import Input

import tracker.tui.screens
from tests.tui.clubs import a_club, an_app
from tests.tui.driving import drive, press, settled, shown
from tracker.tui.actions import COMMAND_OF, SCREEN_ONLY
from tracker.tui.app import SCREEN_KEYS, SlackwaterApp
from tracker.tui.screens.frame import Frame
from tracker.tui.screens.keys import KeysScreen, bindings_by_place, key_name
from tracker.tui.screens.navigation import screen_for
from tracker.tui.widgets.chart_view import ChartView
from tracker.tui.widgets.form_sheet import Field, FormSheet
from tracker.tui.widgets.long_list import LongList

QUICK = {"t", "w"}
"""Keys of the screens that every run of the tests opens: a form, a board, a month, the settings."""


@cache
def our_classes() -> tuple[type, ...]:
    for module in pkgutil.iter_modules(tracker.tui.screens.__path__, "tracker.tui.screens."):
        importlib.import_module(module.name)
    found: list[type] = [SlackwaterApp, LongList, ChartView, FormSheet]
    todo: list[type] = [Screen]
    while todo:
        kind = todo.pop()
        todo += kind.__subclasses__()
        if kind.__module__.startswith("tracker.tui"):
            found.append(kind)
    return tuple(found)


def own_bindings(kind: type) -> list[Binding]:
    return list(Binding.make_bindings(vars(kind).get("BINDINGS", ())))


def front(app: SlackwaterApp) -> Any:
    return app.screen


def test_every_action_has_a_command_or_is_only_about_the_screen():
    ids = {binding.id for kind in our_classes() for binding in own_bindings(kind) if binding.id}
    assert ids - set(COMMAND_OF) - SCREEN_ONLY == set()
    assert not set(COMMAND_OF) & SCREEN_ONLY


def test_no_key_is_bound_twice_in_one_place():
    for kind in our_classes():
        keys = [binding.key for binding in own_bindings(kind)]
        assert len(keys) == len(set(keys)), kind


def test_no_key_needs_a_layout_that_some_countries_lack():
    hard = {"left_square_bracket", "right_square_bracket", "backslash", "at", "tilde", "circumflex_accent"}
    for kind in our_classes():
        for binding in own_bindings(kind):
            assert binding.key not in hard
            assert not binding.key.startswith("alt+")


def test_the_palette_key_shadows_nothing():
    for kind in set(our_classes()) - {SlackwaterApp}:
        assert SlackwaterApp.COMMAND_PALETTE_BINDING not in [binding.key for binding in own_bindings(kind)]


@pytest.mark.parametrize(
    "place",
    [
        pytest.param(place, marks=() if key in QUICK else pytest.mark.thorough)
        for key, place, _ in SCREEN_KEYS
    ],
)
def test_each_screen_opens_lists_all_its_keys_and_goes_back(tmp_path, place):
    app = an_app(a_club(tmp_path), tmp_path)

    async def journey(pilot):
        await press(pilot, next(key for key, name, _ in SCREEN_KEYS if name == place))
        screen = app.screen
        assert isinstance(screen, Frame)
        assert type(screen) is type(screen_for(place, "Ada Fjord", dt.date(2026, 1, 1)))
        assert len(screen.HINTS) <= 6
        bound = {key_name(key) for key, active in screen.active_bindings.items() if not active.binding.system}
        listed = {
            key for keys in bindings_by_place(screen).values() for group, _ in keys for key in group.split()
        }
        assert bound == listed
        await press(pilot, "f1" if screen.query(FormSheet) else "question_mark")
        assert isinstance(front(app), KeysScreen)
        assert "all keys here" in shown(app)
        await press(pilot, "escape", "escape")
        assert front(app) is not screen

    drive(app, journey, size=(120, 60))


def library_words() -> set[str]:
    """What the library's own bindings of anything that stands on our screens are called."""
    kinds = {base for kind in (*our_classes(), Field) for base in kind.__mro__}
    theirs = [kind for kind in kinds if kind.__module__.startswith("textual")]
    return {binding.description for kind in theirs for binding in own_bindings(kind)} | {"palette"}


@pytest.mark.parametrize(
    "keys",
    [
        (),
        ("slash",),
        ("enter",),
        ("enter", "y"),
        *(
            pytest.param((key,), marks=() if key in QUICK else pytest.mark.thorough)
            for key, _, _ in SCREEN_KEYS
        ),
    ],
    ids="-".join,
)
def test_the_keys_are_listed_in_our_own_words_and_in_one_row_each(tmp_path, keys):
    app = an_app(a_club(tmp_path), tmp_path)

    async def journey(pilot):
        await press(pilot, *keys)
        screen = app.screen
        listed = [line for lines in bindings_by_place(screen).values() for line in lines]
        assert not {does for _, does in listed} & library_words()
        assert all(does == does.strip() and not does[:1].isupper() for _, does in listed)
        await press(pilot, "f1" if screen.query(Field) else "question_mark")
        if isinstance(front(app), KeysScreen):  # while typing into the filter a question mark is typed
            rows = [" ".join(row.split()) for row in shown(app).splitlines()]
            assert {f"{group} {does}" for group, does in listed} <= set(rows)

    drive(app, journey, size=(120, 80))


def test_up_and_down_in_a_form_are_what_the_list_of_keys_says(tmp_path):
    app = an_app(a_club(tmp_path), tmp_path)

    async def journey(pilot):
        await press(pilot, "t")
        keys = dict(bindings_by_place(app.screen)["In the form"])
        assert keys["↓ Tab"] == "next field"
        at = app.screen.query_one(FormSheet).at
        await press(pilot, "down")
        assert app.screen.query_one(FormSheet).at != at
        await press(pilot, "up")
        assert app.screen.query_one(FormSheet).at == at

    drive(app, journey)


def test_keys_of_the_list_are_arrows_and_vi_alike(tmp_path):
    app = an_app(a_club(tmp_path), tmp_path)

    async def journey(pilot):
        cursor = app.screen.query_one(LongList)
        keys = [row.key for row in cursor.rows]
        for down, up, last, first in (("j", "k", "G", "g"), ("down", "up", "end", "home")):
            await press(pilot, down)
            assert cursor.cursor_key == keys[1]
            await press(pilot, up)
            assert cursor.cursor_key == keys[0]
            await press(pilot, last)
            assert cursor.cursor_key == keys[-1]
            await press(pilot, first)
            assert cursor.cursor_key == keys[0]

    drive(app, journey)


def test_letters_are_typed_in_fields_and_do_nothing_else(tmp_path):
    app = an_app(a_club(tmp_path), tmp_path)

    async def journey(pilot):
        await press(pilot, "slash", *"jkgGutsrx?")
        assert app.screen.query_one("#filter", Input).value == "jkgGutsrx?"

    drive(app, journey)


def test_palette_offers_every_action_of_the_screen(tmp_path):
    app = an_app(a_club(tmp_path), tmp_path)

    async def journey(pilot):
        offered = {command.title for command in app.get_system_commands(app.screen)}
        assert {does for _, _, does in SCREEN_KEYS} <= offered
        assert "morning colours" in offered
        await press(pilot, "ctrl+p")
        await pilot.press(*"history")
        await settled(pilot)
        await pilot.press("enter")
        await settled(pilot)
        await settled(pilot)
        assert "what" in shown(app)
        assert front(app).NAME == "History"

    drive(app, journey)


def test_other_keys_can_be_given(tmp_path):
    app = an_app(a_club(tmp_path), tmp_path, keys={"history": "f9"})

    async def journey(pilot):
        await press(pilot, "f9")
        assert front(app).NAME == "History"

    drive(app, journey)
