"""The month's pages, made from the screens in a real pseudo-terminal."""

from __future__ import annotations

from contextlib import closing
from pathlib import Path

import pytest

from tests.tui.clubs import AT, a_club
from tests.tui.terminal import Terminal
from tracker.app.pages import WORTH
from tracker.model.swimmer import Swimmer


def a_squad(tmp_path: Path, number: int) -> Path:
    store = a_club(tmp_path)
    with store.write(who="test", what="add", at=AT) as writer:
        writer.add([Swimmer(swimmer=f"New {one}") for one in range(4, number)])
    store.close()
    return tmp_path / "club.db"


@pytest.mark.thorough
def test_the_pages_of_a_squad_big_enough_for_other_processes_are_made(tmp_path):
    club = a_squad(tmp_path, WORTH)
    with closing(Terminal(club, tmp_path, size=(120, 40), folder=tmp_path)) as terminal:
        terminal.wait_for("plateau")
        terminal.send("m")
        terminal.wait_for("get a page")
        terminal.send("m")
        terminal.wait_for(f"{WORTH} pages are in", 90.0)
        terminal.send("\x11")
        assert terminal.ended() == 0
        assert b"could not be worked out" not in terminal.written
    assert len(list(tmp_path.rglob("*.pdf"))) == WORTH


def test_leaving_all_the_same_does_not_wait_for_the_pages_that_are_left(tmp_path):
    club = a_squad(tmp_path, WORTH - 1)
    with closing(Terminal(club, tmp_path, size=(120, 40), folder=tmp_path)) as terminal:
        terminal.wait_for("plateau")
        terminal.send("m")
        terminal.wait_for("get a page")
        terminal.send("m")
        terminal.wait_for(f" 1 of {WORTH - 1}")
        terminal.send("\x11")
        terminal.wait_for("quit all the same")
        terminal.send("y")
        assert terminal.ended() == 0
    assert 0 < len(list(tmp_path.rglob("*.pdf"))) < WORTH - 1
