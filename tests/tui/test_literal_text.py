"""People's text stands literally in every screen, and nothing in it reaches the terminal as a command."""

from __future__ import annotations

import sqlite3

import pytest
from textual import events

from tests.tui.clubs import PARTS, a_club, an_app
from tests.tui.driving import drive, press, settled, shown, strips
from tracker.tui.screens.swimmer import SwimmerScreen
from tracker.tui.widgets.long_list import LongList

LITERAL = (
    "Ana [/]",
    "Ana [ISR]",
    "Ana [red]L[/red]",
    "Ana [b",
    "[@click=app.quit]A",
    "[link=x]y[/link]",
    ":ocean: Ana",
    "\\[x] 100% {0} %s",
    "凌汐舟",
    "Zoë ʼn",
)
HARMFUL = (
    "\x1b]0;EBBED\x1b\\Ana",
    "\x1b]52;c;ZWJi\x07Ana",
    "\x9b2JAna",
    "\x1b[2JAna",
    "a\rb",
    "a\x08b",
    "\u202eAna",
)

EVERYWHERE = """
UPDATE swimmer SET note = swimmer;
INSERT INTO fault_step (date, swimmer, fault, side, step, reviewer, note, version, seal)
  SELECT '2025-03-01', swimmer, 'own-' || swimmer, '', 'open', swimmer, swimmer, 1, 0 FROM swimmer;
INSERT INTO work (from_date, swimmer, kind, fault, text, version, seal)
  SELECT '2025-01-06', swimmer, 'cue', '', swimmer, 1, 0 FROM swimmer;
"""


def a_club_of(tmp_path, names):
    """A club of plateaus, the names written into the database behind the back of every check."""
    store = a_club(tmp_path, {f"number {index}": PARTS["Dan Holt"] for index in range(len(names))})
    rename = 'UPDATE swimmer SET swimmer = ?, "group" = ? WHERE swimmer = ?'
    with sqlite3.connect(store.file) as raw:
        raw.execute("PRAGMA foreign_keys = ON")
        for index, name in enumerate(names):
            raw.execute(rename, (name, name, f"number {index}"))
        raw.executescript(EVERYWHERE)
    return store


def written(app) -> str:
    return "".join(segment.text for strip in strips(app) for segment in strip)


def some_or_all(names):
    """Three names of the kind, the worst first, and all of them in the thorough run."""
    return pytest.mark.parametrize(
        "names", [names[:3], pytest.param(names, marks=pytest.mark.thorough)], ids=["three", "all"]
    )


@some_or_all(LITERAL)
def test_markup_in_a_name_is_shown_as_it_is(tmp_path, names):
    store = a_club_of(tmp_path, names)
    app = an_app(store, tmp_path)

    async def journey(pilot):
        listed = shown(app)
        for name in names:
            assert name in listed
            app.open_swimmer(name, ())
            await settled(pilot)
            text = shown(app)
            assert f"Swimmer  {name} ({name})" in text
            assert f"own-{name}"[:17] in text
            await press(pilot, "home")
            assert f"cue {name}" in shown(app)
            await press(pilot, "y")
            assert f"Why  {name}" in shown(app)
            await press(pilot, "escape", "S")
            assert f"seen: {name}" in shown(app)
            await press(pilot, "escape")
        assert app.is_running

    drive(app, journey, size=(160, 40))


@some_or_all(HARMFUL)
def test_no_control_character_of_a_name_is_written(tmp_path, names):
    store = a_club_of(tmp_path, names)
    app = an_app(store, tmp_path)

    async def journey(pilot):
        keys = [row.key for row in app.screen.query_one(LongList).rows]
        assert sorted(keys) == sorted(names)
        for name in names:
            app.open_swimmer(name, ())
            await settled(pilot)
            assert isinstance(app.screen, SwimmerScreen)
            for key in ("home", "y", "escape", "S", "escape"):
                text = written(app)
                assert not any(ord(char) < 32 or 127 <= ord(char) < 160 or char == "\u202e" for char in text)
                assert "\N{REPLACEMENT CHARACTER}" in text
                await press(pilot, key)

    drive(app, journey, size=(160, 40))


@pytest.mark.parametrize(
    "names",
    [(*LITERAL[:3], *HARMFUL[:3]), pytest.param((*LITERAL, *HARMFUL), marks=pytest.mark.thorough)],
    ids=["six", "all"],
)
def test_typed_and_pasted_text_is_taken_literally(tmp_path, names):
    app = an_app(a_club(tmp_path), tmp_path)

    async def journey(pilot):
        for name in names:
            await press(pilot, "slash")
            app.screen.focused.post_message(events.Paste(name))
            await settled(pilot)
            text = written(app)
            assert not any(ord(char) < 32 or 127 <= ord(char) < 160 for char in text)
            assert name in HARMFUL or name in text
            await press(pilot, "escape")

    drive(app, journey, size=(160, 40))


@pytest.mark.parametrize("name", ["🏊‍♀️ Ana", "क्षत्रिय", "e\u0301\u0302\u0303x", "سامر بحری"])
def test_wide_and_combining_names_keep_the_columns_in_line(tmp_path, name):
    from tracker.tui.drawing.cells import width_of

    store = a_club_of(tmp_path, [name, "Plain Name"])
    app = an_app(store, tmp_path)

    async def journey(_pilot):
        rows = [line for line in shown(app).splitlines() if "○ too early" in line]
        assert len(rows) == 2
        ends = {width_of(line[: line.index("○")]) for line in rows}
        assert len(ends) == 1

    drive(app, journey)
