"""The roster in a real pseudo-terminal: every column that fits, and which ones did not."""

from __future__ import annotations

from contextlib import closing
from pathlib import Path

import pytest
from wcwidth import wcswidth

from tests.tui.clubs import a_club
from tests.tui.terminal import Terminal

MUST = ("verdict", "since", "rate", "due")


@pytest.fixture(scope="module")
def club(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("club")
    a_club(folder).close()
    return folder / "club.db"


def scanned(club: Path, wide: int, **env: str) -> list[str]:
    """Return the lines that a scan writes, progress left out."""
    with closing(Terminal(club, club.parent, command="scan", size=(wide, 30), **env)) as terminal:
        assert terminal.ended() == 0
        text = terminal.written.decode()
    return [line.rpartition("\r")[2] for line in text.replace("\r\n", "\n").split("\n")]


@pytest.mark.parametrize("wide", [80, 100, 120])
def test_onset_rate_and_what_is_due_are_there_from_eighty_columns_on(club: Path, wide: int) -> None:
    lines = scanned(club, wide)
    start = next(number for number, line in enumerate(lines) if line.startswith("swimmer"))
    head, rows = lines[start], lines[start + 1 : start + 5]
    assert [word for word in MUST if word not in head and word != "rate"] == []
    assert "rate %" in head or "% a month" in head
    assert head.index("verdict") >= 11
    ada = next(row for row in rows if row.startswith("Ada Fjord"))
    assert "plateau" in ada
    assert "%" in ada
    assert ada[head.index("since") :].split()[0].isdigit()
    assert ada[head.index("%") - 6 :].strip()
    assert all(wcswidth(row) <= wide for row in (head, *rows))


def test_what_there_was_no_room_for_is_said(club: Path) -> None:
    said = next(line for line in scanned(club, 40) if line.startswith("Not shown"))
    assert "in 40 columns: % a month, sure, left uncorrected, due and group." in said


def test_the_variable_of_the_width_counts_before_the_window(club: Path) -> None:
    lines = scanned(club, 40, COLUMNS="200")
    assert not any(line.startswith("Not shown") for line in lines)
    assert any("left uncorrected" in line and "due" in line and "group" in line for line in lines)
