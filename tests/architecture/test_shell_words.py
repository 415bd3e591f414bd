"""Below the shells nobody knows a flag, a command or a key: what would mend an error is a value.

Each shell words every remedy in its own terms, and no shell loses one on the way to the reader.
"""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator
from functools import cache
from pathlib import Path
from typing import get_args

import pytest

import tracker
from tracker.cli.commands import COMMANDS, load, parser_of
from tracker.cli.parsing import Parser
from tracker.cli.remedies import COMMAND_LINE
from tracker.remedies import (
    NO_SHELL,
    ApplyLevels,
    FillIn,
    ListThem,
    Mend,
    Named,
    Numbered,
    Remedy,
    SayClock,
    TakeBack,
)
from tracker.tui.keymap import _bindings
from tracker.tui.remedies import KEYS, SCREENS

TRACKER = Path(tracker.__file__).parent
BELOW = ("app", "technique", "engine", "model", "entry", "output", "store", "errors.py", "remedies.py")
DECLARES_FLAGS = "model/about.py"
"""A record's fields are declared once, for every shell: a field's flag follows from its name there."""
ALSO_WORDS = {"seen"}
"""Commands whose name is a word of the record, too: a step in a fault's life."""
REMEDIES: tuple[Remedy, ...] = (
    *Mend,
    FillIn(("push_off", "push_off_time")),
    *map(ListThem, (*Named, *Numbered)),
    SayClock(6, "45"),
    TakeBack(),
    TakeBack("Ada Fjord"),
    ApplyLevels(),
)


@cache
def _parsers() -> dict[str, Parser]:
    """Return the parser of each command, and of each of its verbs ("swimmer edit")."""
    found = {name: parser_of(name, load(name)) for name in COMMANDS}
    return found | {
        f"{name} {verb}": verb_parser
        for name, parser in found.items()
        for verb, verb_parser in parser.verbs().items()
    }


@cache
def _shell_words() -> re.Pattern[str]:
    alone = "|".join(name for name in COMMANDS if name not in ALSO_WORDS)
    with_verb = "|".join(name for name in _parsers() if " " in name)
    return re.compile(
        r"(?<![\w-])--(?:[a-z]|$)|'slackwater "
        rf"|\bslackwater (?:{alone})\b|(?<![=,] )(?<!\()'(?:{alone})'|\b(?:{with_verb})\b"
    )


def _strings(source: str) -> Iterator[tuple[int, str]]:
    """Give line and text of each string that is no docstring."""
    tree = ast.parse(source)
    documents = {
        id(statement.value)
        for node in ast.walk(tree)
        if isinstance(body := getattr(node, "body", None), list)
        for statement in body
        if isinstance(statement, ast.Expr)
    }
    for node in ast.walk(tree):
        if isinstance(node, ast.Constant) and isinstance(node.value, str) and id(node) not in documents:
            yield node.lineno, node.value


def _named(source: str) -> list[tuple[int, str]]:
    """Return the strings that name a flag or a command."""
    return [(line, text) for line, text in _strings(source) if _shell_words().search(text)]


@pytest.mark.parametrize(
    "line",
    [
        'raise UsageError("a swim is set aside with a reason; give --reason")',
        'said = f"--{name} is one item\'s own"',
        "said = \"open it first ('slackwater fault')\"",
        'said = f"type slackwater check --db {place}"',
        "said = f\"'slackwater {verb}' lists them\"",
        "said = \"mend it with 'swimmer edit'\"",
        "said = \"'check' is for files\"",
        'said = "is off (config set health true)"',
    ],
)
def test_the_search_finds_a_flag_and_a_command_line(line: str) -> None:
    assert _named(line)


@pytest.mark.parametrize(
    "line",
    [
        'said = "the tables are not as slackwater made them"',
        "said = \"if it was seen again, say 'seen'\"",
        '"""What ``judge --json`` prints."""',
        'said = "log a test -- or two"',
        "query = \"SELECT at FROM copy_made WHERE kind = 'backup'\"",
        "rule = \"kind IN ('open', 'load')\"",
    ],
)
def test_the_search_leaves_other_words_alone(line: str) -> None:
    assert not _named(line)


@pytest.mark.parametrize("room", BELOW)
def test_no_flag_and_no_command_is_named_below_the_shells(room: str) -> None:
    place = TRACKER / room
    files = sorted(place.rglob("*.py")) if place.is_dir() else [place]
    found = {
        f"{file.relative_to(TRACKER)}:{line}": text
        for file in files
        if str(file.relative_to(TRACKER)) != DECLARES_FLAGS
        for line, text in _named(file.read_text(encoding="utf-8"))
    }
    assert files
    assert found == {}


def test_every_kind_of_remedy_is_tried_here() -> None:
    assert {type(remedy) for remedy in REMEDIES} == set(get_args(Remedy))


@pytest.mark.parametrize("remedy", REMEDIES, ids=str)
def test_every_remedy_has_words_in_both_shells_and_none_without_one(remedy: Remedy) -> None:
    assert COMMAND_LINE.remedy(remedy)
    assert COMMAND_LINE.after("said", remedy) == f"said{COMMAND_LINE.remedy(remedy)}"
    assert isinstance(SCREENS.remedy(remedy), str)
    assert NO_SHELL.after("said", remedy) == "said"


@pytest.mark.parametrize("remedy", REMEDIES, ids=str)
def test_the_command_line_names_commands_and_flags_that_are_there(remedy: Remedy) -> None:
    words = COMMAND_LINE.remedy(remedy)
    flags = {
        name for parser in _parsers().values() for flag in parser.flags() for name in flag.option_strings
    }
    assert set(re.findall(r"--[a-z-]+", words)) <= flags
    for command in re.findall(r"slackwater ([a-z]+)", words):
        assert command in COMMANDS


@pytest.mark.parametrize("remedy", REMEDIES, ids=str)
def test_the_screens_name_no_flag_but_in_a_whole_command(remedy: Remedy) -> None:
    assert not re.search(r"--[a-z]", re.sub(r"slackwater [a-z]+.*", "", SCREENS.remedy(remedy)))


def test_the_keys_that_the_screens_name_do_what_is_said() -> None:
    keys = {(binding.id, key) for _, binding in _bindings() if binding.id for key in binding.key.split(",")}
    assert set(KEYS.items()) <= keys


LOSES_NOTHING = {"output/pages/rendering.py", "app/learned_priors.py"}
"""Where an error is made text that never has a remedy: of a page that cannot be set, of too little data."""


@cache
def _our_errors() -> frozenset[str]:
    return frozenset(
        node.name
        for file in TRACKER.rglob("*.py")
        for node in ast.walk(ast.parse(file.read_text(encoding="utf-8")))
        if isinstance(node, ast.ClassDef) and node.name.endswith("Error")
    )


def _losses(source: str) -> Iterator[int]:
    """Give the lines where an error of ours that was caught is made text without its remedy."""
    for handler in ast.walk(ast.parse(source)):
        if not isinstance(handler, ast.ExceptHandler) or handler.name is None or handler.type is None:
            continue
        kinds = {node.id for node in ast.walk(handler.type) if isinstance(node, ast.Name)}
        body = ast.unparse(handler)
        as_text = rf"\bstr\({handler.name}\)|\{{{handler.name}\}}"
        if kinds & _our_errors() and re.search(as_text, body) and not re.search("remedy|Mend", body):
            yield handler.lineno


def test_the_search_finds_a_remedy_that_is_lost() -> None:
    caught = "try:\n    act()\nexcept SlackwaterError as error:\n    {}\n"
    assert list(_losses(caught.format("news(str(error))")))
    assert list(_losses(caught.format('news(f"{error}.")')))
    assert not list(_losses(caught.format("news(failure_words(error))")))
    assert not list(_losses(caught.format("raise UsageError(str(error), error.remedy)")))


def test_no_remedy_is_lost_on_the_way_to_the_reader() -> None:
    found = {
        f"{file.relative_to(TRACKER)}:{line}"
        for file in sorted(TRACKER.rglob("*.py"))
        if str(file.relative_to(TRACKER)) not in LOSES_NOTHING
        for line in _losses(file.read_text(encoding="utf-8"))
    }
    assert found == set()
