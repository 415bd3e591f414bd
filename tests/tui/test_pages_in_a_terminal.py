"""The month's pages, made from the screens in a real pseudo-terminal."""

from __future__ import annotations

from contextlib import closing

import pytest

from tests.tui.clubs import AT, a_club
from tests.tui.terminal import Terminal
from tracker.records.swimmer import Swimmer
from tracker.usecases.make_pages import WORTH


@pytest.fixture
def club(tmp_path):
    """As many swimmers as it takes for other processes to make the pages."""
    store = a_club(tmp_path)
    with store.write(who="test", what="add", at=AT) as writer:
        writer.add([Swimmer(swimmer=f"New {number}") for number in range(4, WORTH)])
    store.close()
    return tmp_path / "club.db"


def test_the_pages_of_a_big_squad_are_made_and_the_terminal_stays_clean(club, tmp_path):
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
