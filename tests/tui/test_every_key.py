"""Every key of every screen, pressed once in a real pseudo-terminal over the invented club."""

from __future__ import annotations

import json
import shutil
import time
from collections.abc import Iterable
from contextlib import closing
from functools import cache
from pathlib import Path

import pytest
from textual.binding import Binding
from textual.screen import Screen

from tests.builders import a_session
from tests.some_of_the_club import write_some_of_the_club
from tests.tui.clubs import AT
from tests.tui.terminal import ROOT, Terminal
from tests.tui.test_keys import our_classes, own_bindings
from tests.tui.test_terminal import assert_usable
from tracker.app.import_club import import_club
from tracker.store.database import Store
from tracker.tui.app import SlackwaterApp
from tracker.tui.keymap import _bindings

ESCAPE, UP = "\x1b[27u", "\x1b[A"
FILE = f"i{UP}{UP}\x15{ROOT / 'fixtures' / 'club' / 'events.csv'}\x13"
PARTS: tuple[dict[str, tuple[str, ...]], ...] = (
    {
        "RosterScreen": (),
        "KeysScreen": ("?",),
        "MondayScreen": ("M",),
        "CalendarScreen": ("W",),
        "HistoryScreen": ("H",),
        "SettingsScreen": ("O",),
        "LeaveScreen": ("A",),
        "ExportMarkedScreen": ("x",),
    },
    {
        "SwimmerScreen": ("\r",),
        "WhyScreen": ("\r", "y"),
        "NextScreen": ("\r", "n"),
        "ChooseScreen": ("\r", "n", "b"),
        "DrawScreen": ("\r", "n", "D"),
        "EditSwimmerScreen": ("\r", "E"),
    },
    {
        "SwimsScreen": ("\r", "v"),
        "EditSwimScreen": ("\r", "v", "\r"),
        "AsideScreen": ("\r", "v", "x"),
        "WorkBoardScreen": ("w",),
        "EffectsScreen": ("w", "b"),
        "MonthScreen": ("m",),
        "PageTextScreen": ("m", "\r"),
    },
    {"LogTestScreen": ("t",)},
    {
        "SquadScreen": ("s",),
        "LogReviewScreen": ("r",),
        "StepFaultScreen": ("f",),
        "StartWorkScreen": ("c",),
        "LogEventScreen": ("e",),
    },
    {
        "LogLoadScreen": ("L",),
        "ConsentScreen": ("C",),
        "AddSwimmerScreen": ("a",),
        "AddTestScreen": ("T",),
        "AddFaultScreen": ("F",),
        "ChangeSettingScreen": ("O", "\r"),
        "ImportScreen": ("i",),
        "ImportPreviewScreen": (FILE,),
    },
)
"""Screens, and what is typed on the roster to open each: a run of the program for each part."""
QUICK = {"RosterScreen"}
"""The parts, by their first screen, that every run of the tests drives."""
WAYS = {"WelcomeScreen": ()} | {screen: way for part in PARTS for screen, way in part.items()}
LEAVING_WELCOME = ("escape", "k")
"""The keys after which an empty database's first screen does not come back."""
NO_KEYS_OF_ITS_OWN = {"ConfirmScreen", "TooSmallScreen"}
"""Any key answers the first, none does anything in the second."""
ON = {"SlackwaterApp": "RosterScreen", "LongList": "RosterScreen", "ChartView": "SwimmerScreen"}
ON |= {"FormSheet": "LogTestScreen", "Field": "LogTestScreen"}
"""Where the keys that work on more than one screen are pressed."""

SOME = {"Anneke Dvorský", "Bram Toivonen", "Ines Aalto", "Tomás Herrlin"}

NOTING = """
import json, os, sys
from tracker.cli.main import main
from tracker.tui.app import SlackwaterApp

check, run, pressed = SlackwaterApp._check_bindings, SlackwaterApp.run_action, []

async def checked(self, key, priority=False):
    pressed.append(key)
    try:
        return await check(self, key, priority)
    finally:
        pressed.pop()

async def noted(self, action, namespace=None, *more):
    screen, kinds = type(self.screen).__name__, [kind.__name__ for kind in type(namespace).__mro__]
    try:
        return await run(self, action, namespace, *more)
    finally:
        if pressed:
            with open(os.environ["NOTES"], "a") as notes:
                print(json.dumps([screen, pressed[-1], kinds, type(self.screen).__name__]), file=notes)

SlackwaterApp._check_bindings, SlackwaterApp.run_action = checked, noted
if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
"""
NAMED = {
    "enter": "\r",
    "tab": "\t",
    "shift+tab": "\x1b[Z",
    "space": " ",
    "escape": ESCAPE,
    "backspace": "\x7f",
    "delete": "\x1b[3~",
    "pageup": "\x1b[5~",
    "pagedown": "\x1b[6~",
    "question_mark": "?",
    "slash": "/",
    "comma": ",",
    "full_stop": ".",
    "f1": "\x1bOP",
    "f2": "\x1bOQ",
    "f8": "\x1b[19~",
}
ARROWS = {"up": "A", "down": "B", "right": "C", "left": "D", "home": "H", "end": "F"}
WITH = {"shift": 1, "ctrl": 4, "super": 8}


def written(key: str) -> str:
    """Return what a terminal sends for a key, by the names of xterm and of the kitty keyboard protocol."""
    if key in NAMED or len(key) == 1:
        return NAMED.get(key, key)
    *held, last = key.split("+")
    if held == ["ctrl"] and len(last) == 1:
        return chr(ord(last) & 31)
    number = 1 + sum(WITH[one] for one in held)
    if last in ARROWS:
        return f"\x1b[1;{number}{ARROWS[last]}" if held else f"\x1b[{ARROWS[last]}"
    return f"\x1b[{127 if last == 'backspace' else ord(last)};{number}u"


@cache
def screens() -> dict[str, type]:
    """The screens that are opened, by name; their bases are not."""
    kinds = [kind for kind in our_classes() if issubclass(kind, Screen)]
    return {kind.__name__: kind for kind in kinds if not any(kind in other.__bases__ for other in kinds)}


def keys_on(screen: str) -> list[str]:
    """The keys of the screen itself, then those of the widgets and the app that are pressed there."""
    bound = [
        binding
        for kind in screens()[screen].__mro__
        if kind in our_classes()
        for binding in own_bindings(kind)
    ]
    bound += [binding for kind, binding in _bindings() if ON.get(kind) == screen]
    return list(dict.fromkeys(binding.key for binding in bound if binding.key != "ctrl+q"))


@pytest.fixture(scope="module")
def invented(tmp_path_factory):
    """Four swimmers of the invented club with all that is on record of them, imported once."""
    folder = tmp_path_factory.mktemp("invented")
    write_some_of_the_club(folder, SOME)
    with closing(Store.open(folder / "club.db")) as store:
        import_club(a_session(store, today=AT.date(), now=AT), folder)
    return folder / "club.db"


class Driver:
    """Presses keys, each on a screen opened for it, and goes back to where it began."""

    def __init__(self, terminal: Terminal, notes: Path, first: str) -> None:
        self.terminal, self.notes = terminal, notes
        self.seen: list[tuple[str, str, list[str], str]] = []
        self.front = "RosterScreen" if first == "plateau" else "WelcomeScreen"
        self.back = ESCAPE * 5 if first == "plateau" else ""

    def noted(self) -> list[tuple[str, str, list[str], str]]:
        text = self.notes.read_text(encoding="utf-8") if self.notes.exists() else ""
        whole = text[: text.rfind("\n") + 1].splitlines()  # the last line may be half written
        self.seen += [tuple(json.loads(line)) for line in whole[len(self.seen) :]]
        return self.seen

    def came(self, screen: str, key: str) -> bool:
        return any((there, pressed) == (screen, key) for there, pressed, *_ in self.noted())

    def press(self, screen: str, way: tuple[str, ...], key: str) -> None:
        """Press it, more slowly each time that what must be read first was not there yet."""
        way = WAYS[screen]
        if self.front != screen or not self.sent((), screen, key, 0.0):
            for pause in (0.02, 1.0, 5.0):
                self.terminal.send(self.back, pause)
                if self.sent(way, screen, key, pause):
                    break
        assert self.came(screen, key), (screen, key)
        # what comes of these comes by a message, after the note
        self.front = "" if key in {"enter", "ctrl+s", "ctrl+y"} else self.noted()[-1][3]
        if (screen, key) == ("MonthScreen", "m"):
            self.terminal.wait_for(" pages are in ", 90.0)

    def sent(self, way: tuple[str, ...], screen: str, key: str, pause: float) -> bool:
        """Return whether a key came to its screen, which is opened this way."""
        for step in (*way, written(key)):
            self.terminal.send(step, pause)
        end = time.monotonic() + (12.0 if way else 2.0)
        while not self.came(screen, key) and time.monotonic() < end:
            self.terminal.read(0.05)
        return self.came(screen, key)


def drive(todo: dict[str, list[str]], club: Path, home: Path) -> set[tuple[str, str]]:
    """Press keys on screens in one run of the program; return (class, key) of each that did something."""
    notes, script = home / "notes", home / "noting.py"
    script.write_text(NOTING, encoding="utf-8")
    started = "plateau" if club.exists() else "Nothing is on record"
    terminal = Terminal(club, home, program=(str(script),), size=(120, 40), folder=home, NOTES=str(notes))
    with closing(terminal):
        terminal.wait_for(started)
        driver = Driver(terminal, notes, started)
        for screen, keys in todo.items():
            for key in keys:
                driver.press(screen, WAYS[screen], key)
        terminal.send(driver.back)
        terminal.send("\x11")
        assert terminal.ended() == 0
        assert_usable(terminal)
    assert b"could not be worked out" not in terminal.written
    assert b"Traceback" not in terminal.written
    assert not (home / "state" / "slackwater" / "screens.log").exists()
    return {(kind, key) for _, key, kinds, _ in driver.noted() for kind in kinds}


def of_widgets_and_app(screens: Iterable[str]) -> set[tuple[str, str]]:
    """(class, key) of what is pressed on these screens although it belongs to none."""
    return {(kind, one.key) for kind, one in _bindings() if ON.get(kind) in screens}


@pytest.mark.parametrize(
    "part",
    [
        pytest.param(part, id=first, marks=() if first in QUICK else pytest.mark.thorough)
        for part in PARTS
        for first in [next(iter(part))]
    ],
)
def test_every_key_works_and_the_program_goes_on(part, invented, tmp_path):
    club = tmp_path / "club.db"
    shutil.copy(invented, club)
    noted = drive({screen: keys_on(screen) for screen in part}, club, tmp_path)
    assert of_widgets_and_app(part) - {("SlackwaterApp", "ctrl+q")} - noted == set()
    assert ("SlackwaterApp", "ctrl+q") in noted


@pytest.mark.parametrize(
    "leaving", [LEAVING_WELCOME[0], pytest.param(LEAVING_WELCOME[1], marks=pytest.mark.thorough)]
)
def test_every_key_of_the_first_screen_of_all_works(leaving, tmp_path):
    keys = [key for key in keys_on("WelcomeScreen") if key not in LEAVING_WELCOME]
    drive({"WelcomeScreen": [*keys, leaving]}, tmp_path / "club.db", tmp_path)


def test_no_screen_and_no_key_is_forgotten():
    opened = ["WelcomeScreen", *(screen for part in PARTS for screen in part)]
    assert set(opened) == set(screens()) - NO_KEYS_OF_ITS_OWN
    assert len(opened) == len(set(opened))
    pressed = {
        (kind.__name__, binding.key)
        for screen in opened
        for kind in screens()[screen].__mro__
        if kind in our_classes()
        for binding in own_bindings(kind)
        if binding.key in keys_on(screen)
    }
    pressed |= {
        (kind, binding.key)
        for kind, binding in _bindings()
        if binding.key in keys_on(ON.get(kind, opened[0]))
    }
    every = {(kind, binding.key) for kind, binding in _bindings()}
    assert every - pressed == {("SlackwaterApp", "ctrl+q")}, "which ends every part"


def test_a_new_key_is_driven_without_anybody_thinking_of_it(monkeypatch):
    monkeypatch.setattr(SlackwaterApp, "BINDINGS", [*SlackwaterApp.BINDINGS, Binding("f9", "keys", "new")])
    assert "f9" in keys_on("RosterScreen")
