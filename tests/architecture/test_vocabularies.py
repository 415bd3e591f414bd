"""A new word is handled everywhere, or mypy says where not: the contributor's way, in a copy."""

from __future__ import annotations

import json
import os
import re
import shutil
import subprocess
import sys
from importlib.resources import files
from pathlib import Path
from typing import Any, get_args

import pytest

import tracker
from tests.store.next_version import make_next_version
from tracker.engine.verdict.verdict import Word
from tracker.model.event_kinds import EventKind
from tracker.technique.link import Evidence, Finding, How, State
from tracker.tui.drawing.roles import role_of

ROOT = Path(__file__).parents[2]
WORD_PLACES = {
    "engine/verdict/verdict.py": 2,  # whether it calls for a look, its probability
    "output/sentences/roster.py": 1,
    "output/sentences/verdict.py": 3,  # mark, headline, in other words
    "technique/attention.py": 1,
    "tui/drawing/roles.py": 1,
}
"""Where a verdict's word is taken apart, and how often."""


def _mypy(folder: Path) -> str:
    shutil.copy(ROOT / "pyproject.toml", folder / "pyproject.toml")
    ran = subprocess.run(
        [sys.executable, "-m", "mypy", "tracker"],
        cwd=folder,
        env={**os.environ, "MYPYPATH": str(folder)},
        capture_output=True,
        text=True,
        check=False,
        timeout=900,
    )
    return ran.stdout + ran.stderr


@pytest.mark.slow
def test_mypy_names_each_place_that_does_not_know_a_new_verdict_word(tmp_path: Path) -> None:
    shutil.copytree(Path(tracker.__file__).parent, tmp_path / "tracker")
    file = tmp_path / "tracker" / "engine" / "verdict" / "verdict.py"
    text = file.read_text()
    planted = text.replace(
        '    TOO_EARLY = "too early"\n', '    TOO_EARLY = "too early"\n    EASING = "easing"\n'
    )
    assert planted != text
    file.write_text(planted)
    said = _mypy(tmp_path)
    found = re.findall(r'^tracker/(\S+?):\d+: error: .*"assert_never".*EASING', said, re.MULTILINE)
    assert {place: found.count(place) for place in set(found)} == WORD_PLACES, said


@pytest.mark.slow
def test_a_kind_of_event_is_one_line_and_a_migration(tmp_path: Path) -> None:
    """Planted kind: types, log, scan, why, completion, help, export and check all know it."""
    program = make_next_version(tmp_path)
    home = tmp_path / "home.db"
    for words in (
        ("--db", str(home), "swimmer", "add", "Nia Okafor"),
        ("--db", str(home), "event", "Nia Okafor", "planted", "--from", "2026-05-01"),
        ("--db", str(home), "scan"),
        ("--db", str(home), "why", "Nia Okafor"),
        ("--db", str(home), "check"),
    ):
        ran = program(*words)
        assert ran.returncode == 0, (words, ran.stdout, ran.stderr)
        if "why" in words:
            assert "Planted (" in ran.stdout
    assert "planted" in program("event", "--help").stdout
    assert "Success" in (said := _mypy(tmp_path)), said


def _enums(schema: Any) -> list[list[Any]]:
    if isinstance(schema, dict):
        own = [schema["enum"]] if "enum" in schema else []
        return own + [found for value in schema.values() for found in _enums(value)]
    return [found for value in schema for found in _enums(value)] if isinstance(schema, list) else []


@pytest.mark.parametrize(
    ("name", "vocabulary"),
    [
        ("judge", tuple(Word)),
        ("scan", tuple(Word)),
        ("scan", (None, *get_args(State))),
        ("scan", get_args(How)),
        ("scan", get_args(Evidence)),
        ("club", tuple(EventKind)),
    ],
)
def test_the_schemas_know_every_word(name: str, vocabulary: tuple[str | None, ...]) -> None:
    schema = json.loads((files("tracker.output") / "schema" / f"{name}.schema.json").read_text())
    assert list(vocabulary) in _enums(schema)


def test_no_two_words_look_alike_and_each_role_has_its_colour() -> None:
    look = (files("tracker.tui") / "look.tcss").read_text()
    assert len(set(map(role_of, Word))) == len(Word)
    for word in Word:
        assert f"list--{role_of(word)} " in look


def test_what_may_have_moved_the_line_has_a_name_and_a_place_of_its_own() -> None:
    """Illness and injury stand as a break."""
    ranks = [what.about.rank for what in (*EventKind, *Finding) if what not in {"illness", "injury"}]
    assert len(set(ranks)) == len(ranks)
    assert all(what.about.plain for what in (*EventKind, *Finding))
