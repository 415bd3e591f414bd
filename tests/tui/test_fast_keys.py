"""Keys typed faster than the screens draw: each goes where it was meant, in a real pseudo-terminal."""

from __future__ import annotations

from contextlib import closing

import pytest

from tests.tui.clubs import TODAY, a_club
from tests.tui.terminal import Terminal
from tracker.model.swim import Swim
from tracker.store.database import Store

SAVE, QUIT, UP, CLEAR_LINE = "\x13", "\x11", "\x1b[A", "\x15"
TIMES = {"Ada Fjord": "6:28.1", "Bo Lind": "6:19.2", "Cleo Marsh": "7:02.3", "Dan Holt": "6:51.4"}
SECONDS = {"Ada Fjord": 388.1, "Bo Lind": 379.2, "Cleo Marsh": 422.3, "Dan Holt": 411.4}
TO_THE_FIRST_ROW = f"{UP}{CLEAR_LINE}t400\r\r\r\r"


@pytest.fixture
def club(tmp_path):
    store = a_club(tmp_path)
    store.close()
    return tmp_path / "club.db"


def logged_today(club) -> dict[str, float]:
    with closing(Store.open(club)) as store, store.read() as reader:
        swims = [kept.record for kept in reader.all(Swim)]
    return {swim.swimmer: swim.time_s for swim in swims if swim.date == TODAY}


def type_at_once(club, home, keys: str, *, said: str) -> None:
    """Write all keys in one go as soon as the roster is there, wait for what is said, and quit."""
    with closing(Terminal(club, home, size=(120, 40), SLACKWATER_TODAY=TODAY.isoformat())) as terminal:
        terminal.wait_for("plateau")
        terminal.send(keys)
        terminal.wait_for(said, 20.0)
        terminal.send(QUIT)
        assert terminal.ended() == 0


@pytest.mark.parametrize(
    "enter", ["\r", pytest.param("\n", marks=pytest.mark.thorough)], ids=["return", "line feed"]
)
def test_a_squad_typed_in_one_burst_is_stored_row_by_row(club, tmp_path, enter):
    rows = enter.join(TIMES.values())
    type_at_once(club, tmp_path, f"s{TO_THE_FIRST_ROW}{rows}{SAVE}", said="for 4 swimmers")
    assert logged_today(club) == SECONDS


@pytest.mark.thorough
def test_enter_in_the_last_row_saves_what_stood_there_and_takes_nothing_typed_after_it(club, tmp_path):
    rows = "\r".join(TIMES.values())
    type_at_once(club, tmp_path, f"s{TO_THE_FIRST_ROW}{rows}\r99", said="for 4 swimmers")
    assert logged_today(club)["Dan Holt"] == 411.4
    assert not [file for file in (tmp_path / "state").rglob("drafts/*") if file.read_bytes()]


@pytest.mark.thorough
def test_a_column_pasted_and_keys_typed_right_after_it_are_stored_row_by_row(club, tmp_path):
    pasted = "\x1b[200~6:28.1\n6:19.2\n7:02.3\x1b[201~"
    after = f"\r\r\r{TIMES['Dan Holt']}{SAVE}"
    type_at_once(club, tmp_path, f"s{TO_THE_FIRST_ROW}{pasted}{after}", said="for 4 swimmers")
    assert logged_today(club) == SECONDS


@pytest.mark.thorough
def test_letters_of_a_filter_are_typed_into_it_and_open_nothing(club, tmp_path):
    with closing(Terminal(club, tmp_path, size=(120, 40))) as terminal:
        terminal.wait_for("plateau")
        terminal.send("/cleo\rt6:48\r3:16")
        terminal.wait_for("3:16")
        assert b"Add a swimmer" not in terminal.written
        terminal.send(QUIT)
        assert terminal.ended() == 0


@pytest.mark.thorough
def test_a_test_and_the_next_one_are_logged_in_one_burst(club, tmp_path):
    first, second = (f"t{UP}{CLEAR_LINE}t400\r{time}{SAVE}" for time in ("6:28.1", "6:52.3"))
    type_at_once(club, tmp_path, f"{first}\x1b[B{second}", said="Logged for Cleo")
    assert len(logged_today(club)) == 2
