"""The README and the command line name the same commands, and the README's flags exist."""

from __future__ import annotations

import re
import subprocess
import sys
from functools import cache
from pathlib import Path

import pytest

from tracker.cli.commands import COMMANDS

ROOT = Path(__file__).resolve().parents[2]
README = ROOT / "README.md"
BARE = {"--help", "--version"}


@cache
def readme_calls() -> tuple[tuple[str, ...], ...]:
    """Return every `slackwater ...` of the README's code, split at blanks, up to a pipe or a comment."""
    text = README.read_text(encoding="utf-8")
    code = re.findall(r"```(?:sh|bash|console)?\n(.*?)```", text, re.DOTALL) + re.findall(
        r"`([^`\n]+)`", text
    )
    lines = (line.removeprefix("$ ") for block in code for line in block.splitlines())
    calls = (re.search(r"(?:^|[/\s])slackwater ([^|#;&]+)", line) for line in lines)
    return tuple(tuple(call[1].split()) for call in calls if call)


@cache
def help_of(command: str) -> str:
    done = subprocess.run(
        [sys.executable, "-m", "tracker", command, "--help"],
        cwd=ROOT,
        capture_output=True,
        text=True,
        check=True,
    )
    return done.stdout


def test_every_command_stands_in_the_readme() -> None:
    text = README.read_text(encoding="utf-8")
    missing = [name for name in COMMANDS if not re.search(rf"[`|\s/]{name}[`|\s,]", text)]
    assert missing == []


def test_the_readme_names_no_command_that_is_not_there() -> None:
    verbs = {call[0] for call in readme_calls() if re.fullmatch("[a-z]+", call[0])}
    assert verbs, "the README shows commands"
    assert verbs - set(COMMANDS) - {"help"} == set()


@pytest.mark.parametrize("command", sorted(COMMANDS))
def test_help_has_an_example(command: str) -> None:
    assert re.search(rf"slackwater {command}\b", help_of(command).split("usage:")[-1].split("\n", 1)[1])


def test_flags_of_the_readme_exist() -> None:
    wrong = {
        f"{call[0]} {flag}"
        for call in readme_calls()
        if call[0] in COMMANDS
        for flag in re.findall(r"--[a-z][a-z-]+", " ".join(call))
        if flag not in help_of(call[0]) and flag not in BARE
    }
    assert wrong == set()
