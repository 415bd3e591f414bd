"""One interval of a CSS everywhere: by the swimmer's own noise where it is known, else by an assumption."""

from __future__ import annotations

import re
import shutil
from pathlib import Path

import pytest

from tests.cli.conftest import Cli
from tracker.app.demo import build_demo
from tracker.settings import Settings

VY = "Nguyễn Thảo Vy"
CSS = re.compile(r"CSS .*? per 100 m \(90 % interval .*?\)", re.DOTALL)


@pytest.fixture
def club(cli: Cli, home: Path, monkeypatch: pytest.MonkeyPatch) -> Cli:
    """The invented club."""
    build_demo(home / "built", settings=Settings()).store.close()
    shutil.copy(next((home / "built").glob("*.db")), home / "club.db")
    monkeypatch.setenv("SLACKWATER_DB", str(home / "club.db"))
    return cli


def said(text: str) -> str:
    found = CSS.search(text)
    assert found is not None, text
    return " ".join(found[0].split())


def test_next_and_page_give_one_interval_by_the_swimmer_s_own_noise(club: Cli, home: Path) -> None:
    noise = club("why", VY, "--json").json["noise_pct"]
    assert abs(noise - 1.5) > 0.05
    assert club("page", VY, "--month", "2026-06", "--format", "txt", "--out", "out").code == 0
    page = "".join(file.read_text(encoding="utf-8") for file in (home / "out").glob("*.txt"))
    interval = said(club("next", VY).out)
    assert interval == said(page)
    assert interval.endswith("as their own tests scatter)")
    assert re.search(r"at (\S+) % a trial", interval)[1] == f"{round(noise, 2):g}"


def test_what_a_first_pair_is_judged_by_is_said_to_be_assumed(ines: Cli) -> None:
    logged = ines("log", "Ines Aalto", "css", "6:40", "3:10", "--date", "2026-06-30")
    assert "at 1.5 % a trial, assumed)" in logged.out
    assert "at 1.5 % a trial, assumed)" in ines("css", "6:40", "3:10").out
    assert "at 2 % a trial)" in ines("css", "6:40", "3:10", "--error", "2").out
