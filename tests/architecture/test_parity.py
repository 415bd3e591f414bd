"""Whatever the screens can do a command can do, so that nobody needs a full-screen program.

Every key that does something has an id; the table names its command. Keys without an id only move
about in what is shown.
"""

from __future__ import annotations

import importlib
import pkgutil

import pytest
from textual.binding import Binding

import tracker.tui
from tracker.cli.commands import COMMANDS
from tracker.cli.loading import load, parser_of

ON_SCREEN_ONLY = {"quit", "back", "keys", "steps", "clear-form", "strokes"}
"""What is about the screen itself."""

COMMAND_OF = {
    "accept": "log",
    "add-swimmer": "swimmer add",
    "archive-swimmer": "swimmer archive",
    "board": "board",
    "choose": "next",
    "delete-swim": "swim delete",
    "demo": "demo",
    "edit-swim": "swim edit",
    "edit-swimmer": "swimmer edit",
    "effects": "effects",
    "fault-step": "fault",
    "filter": "scan",
    "history": "history",
    "import": "import",
    "log-event": "event",
    "log-review": "review",
    "log-squad": "log",
    "log-test": "log",
    "make-pages": "page",
    "mark-seen": "seen",
    "month": "page",
    "next": "next",
    "next-group": "scan",
    "redo": "redo",
    "save": "log",
    "settings": "config set",
    "swim-aside": "swim aside",
    "swim-keep": "swim keep",
    "swims": "swims",
    "undo": "undo",
    "why": "why",
    "work": "cue start",
}


def _ids() -> dict[str, str]:
    """Return id -> description of every key of every screen and widget."""
    found: dict[str, str] = {}
    for module in pkgutil.walk_packages(tracker.tui.__path__, "tracker.tui."):
        for thing in vars(importlib.import_module(module.name)).values():
            own = vars(thing).get("BINDINGS", []) if isinstance(thing, type) else []
            found |= {one.id: one.description for one in own if isinstance(one, Binding) and one.id}
    return found


def test_every_action_of_the_screens_has_a_command() -> None:
    missing = {name: does for name, does in _ids().items() if name not in COMMAND_OF.keys() | ON_SCREEN_ONLY}
    assert missing == {}


@pytest.mark.parametrize("words", sorted(set(COMMAND_OF.values())))
def test_the_commands_of_the_table_exist(words: str) -> None:
    command, _, verb = words.partition(" ")
    assert command in COMMANDS
    assert not verb or verb in parser_of(command, load(command)).verbs()
