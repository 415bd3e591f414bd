"""All commands: module and help of each, so that only the one that is called is imported."""

from __future__ import annotations

from argparse import Namespace
from collections.abc import Callable
from dataclasses import dataclass
from importlib import import_module
from typing import TYPE_CHECKING, NamedTuple

from tracker.cli.parsing import Parser
from tracker.plugin_registry import load_plugin

if TYPE_CHECKING:
    from tracker.cli.wiring import Context


class Command(NamedTuple):
    """One command: its module under `tracker.cli`, or "" for a plug-in, and its line in the help."""

    module: str
    summary: str


GROUPS: dict[str, dict[str, Command]] = {
    "Who": {
        "swimmer": Command("swimmer", "add, list, edit or archive a swimmer; consents, export, erase"),
    },
    "What was swum": {
        "log": Command("log", "log a test swim"),
        "swims": Command("swims", "list what is logged for a swimmer"),
        "swim": Command("swims", "correct or delete a swim, or say whether it counts"),
        "test": Command("log", "list the test definitions, or add one"),
    },
    "What was seen and done": {
        "review": Command("review", "log a look at a swimmer's technique"),
        "fault": Command("fault", "a fault's life in a swimmer; the catalogue"),
        "cue": Command("work", "start or stop a cue: what the swimmer thinks"),
        "drill": Command("work", "start or stop a drill: what the swimmer does"),
        "event": Command("events", "log something dated that may have moved the pace"),
        "load": Command("events", "log what was swum in a week"),
    },
    "What it says": {
        "scan": Command("scan", "the roster with its verdicts, most in need of a look first"),
        "board": Command("scan", "every fault of the roster that is not done with"),
        "why": Command("why", "the evidence behind one swimmer's verdict"),
        "seen": Command("why", "mark a swimmer's present verdict, or the whole roster's, as seen"),
        "changes": Command("changes", "what is different from what was told, and which tests did it"),
        "revisions": Command("changes", "how many of the words told were later revised"),
        "next": Command("next_step", "what to work on, what to leave, when to test and look again"),
        "effects": Command("why", "whether corrections, cues and drills helped"),
        "calibrate": Command("calibrate", "the levels that keep false words rare, on the roster's dates"),
        "taught": Command("calibrate", "what the roster taught the verdicts, and a second opinion on it"),
        "judge": Command("judge", "verdicts for any CSV of series, without a database"),
        "calendar": Command("calendar", "the dates ahead: tests, looks, races; as a calendar file"),
        "page": Command("page", "make the monthly pages"),
    },
    "Calculators": {
        "css": Command("calculators", "critical swim speed from a 400 and a 200"),
        "pace": Command("calculators", "pace of a swim; paces and send-offs from CSS"),
        "stroke": Command("calculators", "stroke length, rate and index of one length"),
        "angle": Command("calculators", "the angle at the middle of three points"),
    },
    "Data": {
        "undo": Command("history", "take back the last change"),
        "redo": Command("history", "do again what was taken back"),
        "history": Command("history", "what was changed, when and by whom"),
        "coach": Command("", "who sees which groups of a club on a server"),
        "import": Command("data", "take in a folder or file of CSV"),
        "export": Command("data", "write the whole club as a folder of CSV"),
        "backup": Command("copies", "copy the database while it is open, and verify the copy"),
        "restore": Command("copies", "bring a backup back"),
        "check": Command("copies", "whether the database is whole; mend what is safe to mend"),
    },
    "The tool": {
        "open": Command("screens", "the screens"),
        "serve": Command("screens", "the screens in a browser on this machine (an extra)"),
        "demo": Command("demo", "build the invented club and show what the tool says of it"),
        "completion": Command("completion", "what your shell needs to complete commands and names"),
        "manual": Command("manual", "the manual page, or the licence"),
        "config": Command("config", "show or set the settings, and where each comes from"),
    },
}

COMMANDS: dict[str, Command] = {name: command for group in GROUPS.values() for name, command in group.items()}


@dataclass(frozen=True)
class LoadedCommand:
    """One command, imported: an example, what it takes, and what it does (returns the exit code)."""

    example: str
    add_arguments: Callable[[Parser], None]
    run: Callable[[Namespace, Context], int]


def load(command: str) -> LoadedCommand:
    """Import one command: `NAME_EXAMPLE`, `NAME_arguments` and `run_NAME` of its module."""
    name = COMMANDS[command].module
    module = import_module(f"tracker.cli.{name}") if name else load_plugin(command)
    return LoadedCommand(
        getattr(module, f"{command.upper()}_EXAMPLE"),
        getattr(module, f"{command}_arguments"),
        getattr(module, f"run_{command}"),
    )


def parser_of(command: str, loaded: LoadedCommand) -> Parser:
    """Return the parser of one command."""
    summary = COMMANDS[command].summary
    parser = Parser(f"slackwater {command}", f"{summary[:1].upper()}{summary[1:]}.", loaded.example)
    loaded.add_arguments(parser)
    return parser
