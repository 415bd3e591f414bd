"""All commands: where each lives and what it does, so that only the one that is called is imported."""

from __future__ import annotations

from typing import NamedTuple


class Command(NamedTuple):
    """One command: its module under `tracker.cli` and its line in the help."""

    module: str
    summary: str


GROUPS: dict[str, dict[str, Command]] = {
    "Who": {
        "swimmer": Command("swimmer", "add, list, edit or archive a swimmer; consents, export, erase"),
    },
    "What was swum": {
        "log": Command("log", "log a test swim"),
        "swims": Command("swims", "list what is logged for a swimmer"),
        "swim": Command("swim", "correct or delete a swim, or say whether it counts"),
        "test": Command("swim_test", "list the test definitions, or add one"),
    },
    "What was seen and done": {
        "review": Command("review", "log a look at a swimmer's technique"),
        "fault": Command("fault", "a fault's life in a swimmer; the catalogue"),
        "cue": Command("cue", "start or stop a cue: what the swimmer thinks"),
        "drill": Command("drill", "start or stop a drill: what the swimmer does"),
        "event": Command("event", "log something dated that may have moved the pace"),
        "load": Command("load", "log what was swum in a week"),
    },
    "What it says": {
        "scan": Command("scan", "the roster with its verdicts, most in need of a look first"),
        "board": Command("board", "every fault of the roster that is not done with"),
        "why": Command("why", "the evidence behind one swimmer's verdict"),
        "seen": Command("seen", "mark a swimmer's present verdict as seen"),
        "next": Command("next_", "what to work on, what to leave, when to test and look again"),
        "effects": Command("effects", "whether corrections, cues and drills helped"),
        "calibrate": Command("calibrate", "the cut that keeps gainers from being called flat, by simulation"),
        "taught": Command("taught", "what the roster taught the verdicts, and a second opinion on it"),
        "judge": Command("judge", "verdicts for any CSV of series, without a database"),
        "page": Command("page", "make the monthly pages"),
    },
    "Calculators": {
        "css": Command("css", "critical swim speed from a 400 and a 200"),
        "pace": Command("pace", "pace of a swim; paces and send-offs from CSS"),
        "stroke": Command("stroke", "stroke length, rate and index of one length"),
        "angle": Command("angle", "the angle at the middle of three points"),
    },
    "Data": {
        "undo": Command("undo", "take back the last change"),
        "redo": Command("redo", "do again what was taken back"),
        "history": Command("history", "what was changed, when and by whom"),
        "coach": Command("coach", "who sees which groups of a club on a server"),
        "import": Command("import_", "take in a folder or file of CSV"),
        "export": Command("export", "write the whole club as a folder of CSV"),
        "backup": Command("backup", "copy the database while it is open, and verify the copy"),
        "restore": Command("restore", "bring a backup back"),
        "check": Command("check", "whether the database is whole; mend what is safe to mend"),
    },
    "The tool": {
        "open": Command("open_", "the screens"),
        "serve": Command("serve", "the screens in a browser on this machine (an extra)"),
        "demo": Command("demo", "build the invented club and show what the tool says of it"),
        "completion": Command("completion", "what your shell needs to complete commands and names"),
        "manual": Command("manual", "the manual page, or the licence"),
        "config": Command("config", "show or set the settings, and where each comes from"),
    },
}

COMMANDS: dict[str, Command] = {name: command for group in GROUPS.values() for name, command in group.items()}
