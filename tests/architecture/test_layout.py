"""The house looks as it was laid out: top level, sizes of files, bare package files, tests beside all."""

from __future__ import annotations

import ast
import statistics
import subprocess
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]
TRACKER = ROOT / "tracker"
MODULES = sorted(TRACKER.rglob("*.py"))
FOLDERS = sorted({path.parent.relative_to(TRACKER).parts[0] for path in MODULES if path.parent != TRACKER})
OLD_PATHS = {"usecases"}
"""Import paths that work for one release more; tested where their target is."""
TOP_LEVEL = {"README.md", "DEVELOPERS.md", "pyproject.toml", "tracker", "tests", "fixtures", "reports"}


def test_top_level_holds_the_seven_names_and_nothing_else() -> None:
    if (ROOT / ".git").exists():
        listed = subprocess.run(
            ["git", "ls-files"], cwd=ROOT, capture_output=True, text=True, check=True
        ).stdout.splitlines()
        names = {line.strip('"').split("/")[0] for line in listed}
    else:
        names = {path.name for path in ROOT.iterdir()}
    assert {name for name in names if not name.startswith(".")} == TOP_LEVEL


def test_no_file_is_long_and_most_are_short() -> None:
    lengths = {path: len(path.read_text(encoding="utf-8").splitlines()) for path in MODULES}
    assert {str(path.relative_to(ROOT)): n for path, n in lengths.items() if n > 350} == {}
    assert statistics.median(n for path, n in lengths.items() if path.name != "__init__.py") < 150


@pytest.mark.parametrize(
    "path", [path for path in MODULES if path.name == "__init__.py"], ids=lambda path: path.parent.name
)
def test_package_files_hold_a_docstring_only(path: Path) -> None:
    body = ast.parse(path.read_text(encoding="utf-8")).body
    assert len(body) == 1
    assert isinstance(body[0], ast.Expr)
    assert ast.get_docstring(ast.Module(body, [])), "says what the folder is for"


@pytest.mark.parametrize("folder", sorted({*FOLDERS} - OLD_PATHS))
def test_every_folder_has_tests(folder: str) -> None:
    assert list((ROOT / "tests" / folder).rglob("test_*.py")), f"tests/{folder} is empty"


@pytest.mark.parametrize(
    "word", ["helper", "helpers", "manager", "managers", "util", "utils", "misc", "common"]
)
def test_no_module_is_named_for_nothing(word: str) -> None:
    assert [path for path in MODULES if word in (path.stem, path.parent.name)] == []
