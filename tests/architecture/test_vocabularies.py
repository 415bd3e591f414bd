"""A new word is handled everywhere, or mypy says where not: the contributor's way, in a copy."""

from __future__ import annotations

import json
import os
import re
import shutil
import subprocess
import sys
from collections import Counter
from importlib.resources import files
from pathlib import Path
from typing import Any

import pytest

import tracker
from tests.store.next_version import make_next_version
from tracker.engine.verdict.verdict import Word
from tracker.model.event_kinds import EventKind
from tracker.model.vocabularies import State
from tracker.technique.link import Evidence, Finding, How
from tracker.tui.drawing.roles import role_of

ROOT = Path(__file__).parents[2]
ENUMS = {
    "engine/series/left_out.py": ("LeftOutReason",),
    "engine/trend/second_opinion.py": ("Method",),
    "engine/verdict/verdict.py": ("Word",),
    "model/event_kinds.py": ("Ailment",),
    "model/vocabularies.py": (
        "Answers",
        "CostKnown",
        "DamagedPart",
        "Decision",
        "ItemKind",
        "Phase",
        "Purpose",
        "State",
        "Step",
        "SwimTestKind",
        "WorkKind",
    ),
    "technique/fault_timeline.py": ("ChangeKind",),
    "technique/link.py": ("Evidence", "How"),
    "technique/stroke_reading.py": ("Stroke", "Witness"),
}
"""File -> the enums that are taken apart word by word."""
UNIONS = {
    "engine/verdict/verdict.py": ("Lack", "VerdictReason"),
    "model/doubts.py": ("PairDoubt", "Doubt"),
    "technique/link_grounds.py": ("EffectGround", "LinkGround"),
    "technique/next_reasons.py": ("RankReason", "LeaveReason", "StepReason"),
}
"""File -> the unions of small records, each member a reason."""
BASE = {"PairDoubt": "_Pair, _Doubt", "Doubt": "_Doubt"}
"""What a class planted in a union has to have beside its code."""
PLACES = {
    "Ailment": {"technique/cautions.py": 1, "technique/held_back.py": 1},
    "Answers": {"technique/ranking.py": 1},
    "ChangeKind": {"output/sentences/effects.py": 1},
    "CostKnown": {"output/sentences/next_step.py": 1, "technique/ranking.py": 1},
    "DamagedPart": {"output/sentences/data.py": 1},
    "Decision": {"model/plausibility.py": 1},
    "Doubt": {"output/sentences/doubts.py": 1},
    "EffectGround": {"output/sentences/evidence.py": 2},
    "Evidence": {"output/sentences/link.py": 1, "technique/ranking.py": 1},
    "How": {"output/sentences/next_step.py": 1},
    "ItemKind": {
        "app/reviews.py": 2,
        "app/roster_evidence.py": 1,
        "cli/review.py": 1,
        "technique/reviewing.py": 3,
    },
    "Lack": {"output/sentences/reasons.py": 1, "output/sentences/verdict.py": 1},
    "LeaveReason": {"output/sentences/next_step.py": 1},
    "LinkGround": {"output/sentences/evidence.py": 1},
    "Method": {"output/sentences/second_look.py": 2},
    "PairDoubt": {"output/sentences/doubts.py": 2},
    "Phase": {
        "output/figures/spell_panel.py": 1,
        "output/pages/roster_page.py": 1,
        "tui/drawing/fault_lanes.py": 1,
        "tui/drawing/roles.py": 1,
    },
    "Purpose": {"output/sentences/people.py": 1},
    "RankReason": {"output/sentences/next_step.py": 1},
    "State": {"app/faults.py": 1, "tui/drawing/picture.py": 1},
    "Step": {"app/faults.py": 1, "output/sentences/link.py": 1, "technique/fault_timeline.py": 1},
    "StepReason": {"output/sentences/next_step.py": 1},
    "Stroke": {"output/sentences/evidence.py": 1, "technique/stroke_reading.py": 1},
    "SwimTestKind": {
        "app/swim_tests.py": 1,
        "entry/cells.py": 1,
        "entry/squad_sheet.py": 1,
        "entry/swim_edit.py": 1,
        "entry/swim_form.py": 1,
        "tui/screens/log_test.py": 1,
    },
    "VerdictReason": {"output/sentences/reasons.py": 1},
    "LeftOutReason": {"tui/screens/swims.py": 1},
    "Witness": {"output/sentences/evidence.py": 1},
    "Word": {
        "engine/verdict/verdict.py": 3,
        "output/sentences/roster.py": 1,
        "output/sentences/two_dates.py": 2,
        "output/sentences/verdict.py": 3,
        "technique/attention.py": 1,
        "tui/drawing/roles.py": 1,
    },
    "WorkKind": {
        "cli/work.py": 1,
        "technique/cautions.py": 1,
        "technique/fault_timeline.py": 1,
    },
}
"""What is planted -> where it is taken apart, and how often."""


def _with_a_member(text: str, enum: str) -> str:
    """Return a file with one member more in an enum: the last one again, by another word."""
    start = text.index(f"class {enum}(")
    end = text.find("\n\n\n", start)
    member = list(re.finditer(r'^    [A-Z_]+ = ("[^"]*"|auto\(\))(.*)$', text[start:end], re.MULTILINE))[-1]
    word = member[1] if member[1] == "auto()" else '"planted"'
    planted = text[start:end].replace(member[0], f"{member[0]}\n    PLANTED = {word}{member[2]}")
    return text[:start] + planted + text[end:]


def _with_a_class(text: str, union: str) -> str:
    """Return a file with one class more in a union."""
    alias = re.search(rf"^{union} = \(?", text, re.MULTILINE)
    assert alias
    planted = f"@dataclass(frozen=True)\nclass Planted{union}({BASE.get(union, 'object')}):\n"
    planted += "    code: ClassVar = ''\n\n\n"
    return text[: alias.start()] + planted + alias[0] + f"Planted{union} | " + text[alias.end() :]


def _mypy(folder: Path) -> str:
    shutil.copy(ROOT / "pyproject.toml", folder / "pyproject.toml")
    if (cache := ROOT / ".cache" / "mypy").exists():  # what libraries are need not be found out again
        shutil.copytree(cache, folder / ".cache" / "mypy")
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
def test_mypy_names_each_place_that_does_not_know_a_new_word_or_reason(tmp_path: Path) -> None:
    """One run for all: a member more in each enum, a class more in each union."""
    shutil.copytree(Path(tracker.__file__).parent, tmp_path / "tracker")
    for name in ENUMS.keys() | UNIONS.keys():
        file = tmp_path / "tracker" / name
        text = file.read_text()
        for enum in ENUMS.get(name, ()):
            text = _with_a_member(text, enum)
        for union in UNIONS.get(name, ()):
            text = _with_a_class(text, union)
        file.write_text(text.replace("from typing import ", "from typing import ClassVar, ", 1))
    said = _mypy(tmp_path)
    found: dict[str, Counter[str]] = {}
    for place, what in re.findall(
        r'^tracker/(\S+?):\d+: error: .*"assert_never" has incompatible type "(.*?)"', said, re.MULTILINE
    ):
        for planted in re.findall(r"(\w+)\.PLANTED|Planted(\w+)", what):
            found.setdefault("".join(planted), Counter())[place] += 1
    assert found == PLACES, said


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
        ("scan", (None, *State)),
        ("scan", tuple(How)),
        ("scan", tuple(Evidence)),
        ("scan", (*EventKind, *Finding)),
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
    named: dict[int, list[str]] = {}
    for what in (*EventKind, *Finding):
        if what not in {"illness", "injury"}:
            named.setdefault(what.about.rank, []).append(what)
    assert {rank: words for rank, words in named.items() if len(words) > 1} == {}, (
        "each needs a rank of its own"
    )
    assert all(what.about.plain for what in (*EventKind, *Finding))
