"""The README names the commands and flags that exist; DEVELOPERS.md names paths and modules that exist."""

from __future__ import annotations

import io
import re
from contextlib import redirect_stdout
from functools import cache
from pathlib import Path

import pytest

from tracker.cli.commands import COMMANDS
from tracker.cli.main import main

ROOT = Path(__file__).resolve().parents[2]
README = ROOT / "README.md"
DEVELOPERS = ROOT / "DEVELOPERS.md"
PATH = re.compile(r"(?<![\w./-])(?:[\w.-]+/)+[\w.-]*|(?<![\w./-])\w+\.(?:py|toml|tcss)\b")
FOLDERS = {path.name for path in ROOT.iterdir()} | {path.name for path in (ROOT / "tracker").iterdir()}
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
    told = io.StringIO()
    with redirect_stdout(told):
        assert main([command, "--help"]) == 0
    return told.getvalue()


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


@cache
def modules() -> dict[str, list[Path]]:
    """Return the files of the program and its tests by name."""
    found: dict[str, list[Path]] = {}
    for top in ("tracker", "tests"):
        for path in (ROOT / top).rglob("*.*"):
            found.setdefault(path.name, []).append(path)
    return found


def developers_code() -> list[str]:
    """Return what stands between backticks in DEVELOPERS.md, and the lines of its code."""
    text = DEVELOPERS.read_text(encoding="utf-8")
    fences = re.findall(r"```\w*\n(.*?)```", text, re.DOTALL)
    inline = re.findall(r"`([^`\n]+)`", re.sub(r"```\w*\n.*?```", "", text, flags=re.DOTALL))
    return inline + [line for block in fences for line in block.splitlines()]


def paths_named(code: str) -> list[str]:
    """Return the paths of this project in a piece of code; no URL, no placeholder."""
    code = re.sub(r"\S+://\S+|\bvNNNN_\S+", "", code)
    paths = [path.removeprefix("./") for path in PATH.findall(code)]
    return [path for path in paths if "/" not in path or path.split("/")[0] in FOLDERS]


def is_there(path: str) -> bool:
    if "/" not in path:
        return path in modules() or (ROOT / path).exists()
    return any((top / path).exists() for top in (ROOT, ROOT / "tracker"))


def test_every_path_in_developers_exists() -> None:
    named = {path for code in developers_code() for path in paths_named(code)}
    assert len(named) > 80, "the paths are found"
    assert sorted(path for path in named if not is_there(path)) == []


def test_every_module_in_developers_exists() -> None:
    text = " ".join(developers_code())
    named = {name.replace(".", "/") for name in re.findall(r"\b(?:tracker|tests)(?:\.\w+)+", text)}
    assert named, "modules are named"
    assert [name for name in named if not (is_there(f"{name}.py") or is_there(f"{name}/__init__.py"))] == []


def test_every_name_in_a_module_that_developers_names_exists() -> None:
    named = re.findall(r"\b(\w+)\.([A-Z_]{3,})\b", " ".join(developers_code()))
    assert named, "names are named"
    wrong = [
        f"{module}.{name}"
        for module, name in named
        if not any(name in path.read_text(encoding="utf-8") for path in modules().get(f"{module}.py", []))
    ]
    assert wrong == []


def test_developers_stays_short() -> None:
    assert len(DEVELOPERS.read_text(encoding="utf-8").splitlines()) < 200


def test_nothing_refers_to_a_document_that_a_reader_cannot_open() -> None:
    """Plans, notes and trial programs that are not in the repository; other people's programs unnamed."""
    absent = re.compile(
        r"\b(the contract('s)?\b|trade notes|trial implementation|papers that are not here|other programs\b"
        r"|a population that we do not have|design document|specialists?\b)",
        re.IGNORECASE,
    )
    texts = [*ROOT.glob("*.md"), *(ROOT / "reports").rglob("*.md")]
    for folder in ("tracker", "tests", "fixtures"):
        texts += [file for end in ("py", "toml", "typ") for file in (ROOT / folder).rglob(f"*.{end}")]
    for file in texts:
        said = " ".join(file.read_text(encoding="utf-8").split())
        found = absent.search(said)
        assert found is None or file == Path(__file__), f"{found} in {file.relative_to(ROOT)}"
