"""Whatever the screens can do a command can do, so that nobody needs a full-screen program.

Every key that does something has an id, and `tracker.tui.actions` names its command. Keys without an
id only move about in what is shown.
"""

from __future__ import annotations

import importlib
import pkgutil

import pytest
from textual.binding import Binding

import tracker.tui
from tracker.cli.commands import COMMANDS, load, parser_of
from tracker.tui.actions import COMMAND_OF, SCREEN_ONLY


def _ids() -> dict[str, str]:
    """Return id -> description of every key of every screen and widget."""
    found: dict[str, str] = {}
    for module in pkgutil.walk_packages(tracker.tui.__path__, "tracker.tui."):
        for thing in vars(importlib.import_module(module.name)).values():
            own = vars(thing).get("BINDINGS", []) if isinstance(thing, type) else []
            found |= {one.id: one.description for one in own if isinstance(one, Binding) and one.id}
    return found


def test_every_action_of_the_screens_has_a_command() -> None:
    missing = {name: does for name, does in _ids().items() if name not in COMMAND_OF.keys() | SCREEN_ONLY}
    assert missing == {}


def test_the_table_names_no_action_that_is_gone() -> None:
    assert COMMAND_OF.keys() | SCREEN_ONLY == _ids().keys()


@pytest.mark.parametrize(("action", "twin"), COMMAND_OF.items())
def test_the_command_is_there_with_its_verb_and_flags(action: str, twin: str) -> None:
    command, *rest = twin.split()
    assert command in COMMANDS, action
    parser = parser_of(command, load(command))
    for word in rest:
        if word.startswith("--"):
            assert word in {name for flag in parser.flags() for name in flag.option_strings}
        elif word.islower():
            assert word in parser.verbs()
            parser = parser.verbs()[word]
