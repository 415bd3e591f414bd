"""Whatever the program makes is its owner's alone, whatever the umask: folders 0700, files 0600."""

from __future__ import annotations

import datetime as dt
import os
import stat
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import pytest

from tracker.store.row_cache import RowCache
from tracker.tui.drafts import Drafts, save_copied_text, write_log

COMMANDS = (
    ("config", "set", "band", "0.3"),
    ("swimmer", "add", "Ines Aalto"),
    ("log", "Ines Aalto", "t400", "6:40"),
    ("scan",),
    ("page", "Ines Aalto", "--month", "2026-06"),
    ("export", "out/of/the/house"),
    ("backup", "copies/here/club.db"),
    ("demo", "--no-open", "--to", "shown/club"),
)
QUICK = tuple(words for words in COMMANDS if words[0] in {"config", "swimmer", "export", "backup"})
"""Those that draw nothing."""


def wide(folder: Path) -> dict[str, str]:
    """Return what lies in a folder and others can get at, with its mode."""
    return {
        str(path.relative_to(folder)): oct(stat.S_IMODE(path.stat().st_mode))
        for path in folder.rglob("*")
        if path.stat().st_mode & 0o077
    }


@pytest.mark.parametrize(
    ("commands", "umask"),
    [
        (QUICK, 0o000),
        pytest.param(COMMANDS, 0o000, marks=pytest.mark.thorough),
        pytest.param(COMMANDS, 0o022, marks=pytest.mark.slow),
    ],
    ids=["some", "all", "all, the usual mask"],
)
def test_all_that_commands_make_in_a_fresh_home_is_its_owners(
    tmp_path: Path, commands: tuple[tuple[str, ...], ...], umask: int
) -> None:
    kept = {name: value for name, value in os.environ.items() if name in {"PATH", "LANG", "LC_ALL"}}
    env = kept | {"HOME": str(tmp_path), "SLACKWATER_TODAY": "2026-06-30"}
    for words in commands:
        done = subprocess.run(
            [sys.executable, "-m", "tracker", *words],
            cwd=tmp_path,
            env=env,
            umask=umask,
            capture_output=True,
            check=False,
        )
        assert done.returncode in {0, 3}, done.stderr
    made = {path.name for path in tmp_path.rglob("*")}
    assert {".config", "slackwater.db", "config.toml"} <= made
    if "page" in {words[0] for words in commands}:
        assert ".cache" in made
        assert any(name.startswith("fontlist") for name in made)
    assert wide(tmp_path) == {}


@pytest.mark.parametrize(
    "make",
    [
        lambda folder: Drafts(folder).keep("log-test", {"time1": "6:40"}),
        lambda folder: save_copied_text(folder, "words"),
        lambda folder: write_log(folder, KeyError("x"), dt.datetime(2026, 6, 30, tzinfo=dt.UTC)),
        lambda folder: RowCache(folder, "club.db", "0").add("screen", []),
    ],
    ids=["draft", "copy", "log", "rows"],
)
def test_all_that_the_screens_make_is_its_owners(tmp_path: Path, make: Callable[[Path], object]) -> None:
    before = os.umask(0)
    try:
        make(tmp_path / "state" / "slackwater" / "here")
    finally:
        os.umask(before)
    assert len(list(tmp_path.rglob("*"))) == 4
    assert wide(tmp_path) == {}
