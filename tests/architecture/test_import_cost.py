"""Light commands load no heavy library: what each command imports is asked of Python itself."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest

HEAVY = {"statsmodels", "matplotlib", "textual", "pandas", "scipy", "typst", "openpyxl"}
NO_DATABASE = HEAVY | {"sqlmodel", "sqlalchemy", "alembic", "numpy", "pydantic"}
WHAT_THEY_NEED_LEAST = [
    (["--help"], NO_DATABASE),
    (["--version"], NO_DATABASE),
    (["css", "6:40", "3:10"], NO_DATABASE),
    (["pace", "6:40", "400"], NO_DATABASE),
    (["stroke", "25", "18", "26.0"], NO_DATABASE),
    (["angle", "0,0", "10,0", "10,10"], NO_DATABASE),
    (["log", "Ines Aalto", "t400", "6:40", "--date", "2026-06-30"], HEAVY | {"alembic"}),
    (["scan"], NO_DATABASE - {"sqlalchemy"}),
    (["scan", "--json"], NO_DATABASE - {"sqlalchemy"}),
]
BEFORE = {
    # The first use of a database migrates it; every later one must not.
    "log": [["swimmer", "add", "Ines Aalto"]],
    # The first scan judges and keeps; the next one finds all kept.
    "scan": [
        ["swimmer", "add", "Ines Aalto"],
        ["log", "Ines Aalto", "t400", "6:40", "--date", "2026-06-30"],
        ["scan"],
    ],
}


LOADED = """
import sys
from tracker.cli.main import main
file, words, code = sys.argv[1], sys.argv[2:], 0
while words:
    end = words.index("THEN")
    code = code or main(words[:end])
    del words[: end + 1]
with open(file, "w") as file:
    print(*sys.modules, sep="\\n", file=file)
sys.exit(code)
"""
"""Not by ``-X importtime``, which says nothing of what `importlib.import_module` is asked for."""


def modules_of(commands: list[list[str]], folder: Path) -> set[str]:
    """Return all modules loaded by commands that must succeed, one after the other in a process."""
    environment = {
        "PATH": os.environ["PATH"],
        "HOME": str(folder),
        "SLACKWATER_DB": str(folder / "club.db"),
        "SLACKWATER_TODAY": "2026-06-30",
    }
    done = subprocess.run(
        [
            sys.executable,
            "-c",
            LOADED,
            str(folder / "modules"),
            *(w for words in commands for w in (*words, "THEN")),
        ],
        cwd=Path(__file__).parents[2],
        env=environment,
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.returncode == 0, done.stderr[-500:]
    return set((folder / "modules").read_text().splitlines())


def imported_by(commands: list[list[str]], folder: Path) -> set[str]:
    """Return their top names."""
    return {name.split(".")[0] for name in modules_of(commands, folder)}


@pytest.mark.parametrize(
    ("arguments", "unwanted"),
    WHAT_THEY_NEED_LEAST,
    ids=[" ".join(arguments) for arguments, _ in WHAT_THEY_NEED_LEAST],
)
def test_light_commands_stay_light(arguments: list[str], unwanted: set[str], tmp_path: Path) -> None:
    if earlier := BEFORE.get(arguments[0]):
        imported_by(earlier, tmp_path)
    assert imported_by([arguments], tmp_path) & unwanted == set()


JOURNEY = (
    ["swimmer", "add", "Ines Aalto"],
    ["log", "Ines Aalto", "t400", "6:40", "--date", "2026-06-30"],
    ["scan"],
    ["why", "Ines Aalto"],
    ["page", "Ines Aalto", "--month", "2026-06", "--out", "CLUB-pages"],
    ["export", "CLUB", "--force"],
    ["import", "CLUB"],
)


def plugins_of(commands: list[list[str]], folder: Path) -> set[str]:
    return {name for name in modules_of(commands, folder) if name.startswith("tracker.plugins")}


@pytest.mark.thorough
def test_one_coach_with_a_file_loads_no_plugin(tmp_path: Path) -> None:
    journey = [[word.replace("CLUB", str(tmp_path / "club")) for word in words] for words in JOURNEY]
    assert plugins_of(journey, tmp_path) == set()
    assert plugins_of([["export", str(tmp_path / "book"), "--format", "xlsx"]], tmp_path) != set()
