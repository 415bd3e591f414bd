"""In a real pseudo-terminal: signals, crashes, kills, escapes, colours."""

from __future__ import annotations

import re
import signal
import sqlite3
import termios
from contextlib import closing

import pytest

from tests.tui.clubs import a_club
from tests.tui.terminal import Terminal

ALTERNATE_OFF, MOUSE_OFF, CURSOR_ON = b"\x1b[?1049l", b"\x1b[?1000l", b"\x1b[?25h"


@pytest.fixture
def club(tmp_path):
    store = a_club(tmp_path)
    store.close()
    return tmp_path / "club.db"


def assert_usable(terminal: Terminal) -> None:
    assert ALTERNATE_OFF in terminal.written
    assert MOUSE_OFF in terminal.written
    assert CURSOR_ON in terminal.written
    now = termios.tcgetattr(terminal.slave)
    assert now[3] & (termios.ECHO | termios.ICANON) == terminal.before[3] & (termios.ECHO | termios.ICANON)


def test_quitting_by_key_ends_with_zero(club, tmp_path):
    with closing(Terminal(club, tmp_path)) as terminal:
        terminal.wait_for("plateau")
        terminal.send("\x11")
        assert terminal.ended() == 0
        assert_usable(terminal)


@pytest.mark.parametrize(
    ("number", "code"),
    [
        (signal.SIGTERM, 1),
        pytest.param(signal.SIGHUP, 1, marks=pytest.mark.thorough),
        pytest.param(signal.SIGINT, 130, marks=pytest.mark.thorough),
    ],
    ids=str,
)
def test_a_signal_leaves_a_usable_terminal_and_one_line(club, tmp_path, number, code):
    with closing(Terminal(club, tmp_path)) as terminal:
        terminal.wait_for("plateau")
        assert terminal.stop(number) == code
        assert_usable(terminal)
        after = terminal.written.rpartition(ALTERNATE_OFF)[2].decode()
        assert f"stopped by {number.name}" in after
        assert "Traceback" not in after


def test_a_terminal_that_goes_away_takes_the_screens_with_it(club, tmp_path):
    """The writer of the terminal library stops then, its reader spins, and the loop hears no signal."""
    with closing(Terminal(club, tmp_path)) as terminal:
        terminal.wait_for("plateau")
        terminal.hang_up()
        assert terminal.process.wait(20) != 0


FAULTY = """
import sys
from tracker.tui.screens.roster import RosterScreen

def fails(self):
    secret = "Ada Fjord, born 1980"
    raise KeyError(secret)

RosterScreen.action_next_group = fails
from tracker.cli.main import main
sys.exit(main(sys.argv[1:]))
"""


def test_a_crash_leaves_a_usable_terminal_one_line_and_a_log_without_personal_data(club, tmp_path):
    script = tmp_path / "faulty.py"
    script.write_text(FAULTY, encoding="utf-8")
    with closing(Terminal(club, tmp_path, program=(str(script),))) as terminal:
        terminal.wait_for("plateau")
        terminal.send("p", 1.0)
        assert terminal.ended() == 1
        assert_usable(terminal)
        after = terminal.written.rpartition(ALTERNATE_OFF)[2].decode()
        assert "error: the screens stopped (KeyError)" in after
        assert "Traceback" not in after
        assert "1980" not in after
    log = (tmp_path / "state" / "slackwater" / "screens.log").read_text(encoding="utf-8")
    assert "KeyError" in log
    assert "faulty.py:7 fails" in log
    assert "1980" not in log


def test_a_file_that_cannot_be_read_at_all_is_one_line_and_what_to_do(club, tmp_path):
    with closing(sqlite3.connect(club)) as raw:
        (page,) = raw.execute("SELECT rootpage FROM sqlite_master WHERE name = 'swimmer'").fetchone()
        (size,) = raw.execute("PRAGMA page_size").fetchone()
    with club.open("r+b") as file:
        file.seek((page - 1) * size)
        file.write(b"\xff" * size)
    with closing(Terminal(club, tmp_path)) as terminal:
        assert terminal.ended() == 4
        assert_usable(terminal)
        after = terminal.written.rpartition(ALTERNATE_OFF)[2].decode()
        assert "is damaged or no database; run 'slackwater check', or restore a backup" in after
        assert "is safe" not in after


@pytest.mark.parametrize(
    "times", [("6:48",), pytest.param(("6:48", "3:16"), marks=pytest.mark.thorough)], ids=["one", "two"]
)
def test_what_was_typed_survives_every_kill(club, tmp_path, times):
    for number, typed in enumerate(times):
        with closing(Terminal(club, tmp_path)) as terminal:
            terminal.wait_for("plateau")
            terminal.send("t", 1.0)
            for kept in times[:number]:
                terminal.wait_for(kept)
            terminal.wait_for("after warm-up")
            terminal.send(typed, 1.0)
            assert terminal.stop(signal.SIGKILL) == -signal.SIGKILL
    with closing(Terminal(club, tmp_path)) as terminal:
        terminal.wait_for("plateau")
        terminal.send("t", 1.0)
        for kept in (*times, "A draft was kept and is back"):
            terminal.wait_for(kept)


@pytest.mark.thorough
def test_no_escape_of_a_name_reaches_the_terminal(club, tmp_path):
    with sqlite3.connect(club) as raw:
        raw.execute("PRAGMA foreign_keys = ON")
        raw.execute(
            "UPDATE swimmer SET swimmer = ? WHERE swimmer = 'Ada Fjord'", ("\x1b]0;EBBED\x07\x1b[2JAda",)
        )
    with closing(Terminal(club, tmp_path)) as terminal:
        terminal.wait_for("plateau")
        terminal.send("\r", 2.0)
        terminal.send("y", 2.0)
        assert b"\x1b]0;EBBED" not in terminal.written
        assert b"\x1b]0;" not in terminal.written
        assert b"\x1b[2J" not in terminal.written
        assert "\N{REPLACEMENT CHARACTER}]0;EBBED".encode() in terminal.written


@pytest.mark.thorough
def test_no_colour_where_asked_and_colour_where_the_variable_is_empty(club, tmp_path):
    colour = re.compile(rb"\x1b\[[0-9;]*(?:38|48);")
    with closing(Terminal(club, tmp_path, NO_COLOR="1")) as terminal:
        terminal.wait_for("plateau")
        terminal.read(1.0)
        codes = set(re.findall(rb"38;2;(\d+;\d+;\d+)", terminal.written))
        assert all(len(set(code.split(b";"))) == 1 for code in codes)
    with closing(Terminal(club, tmp_path, NO_COLOR="")) as terminal:
        terminal.wait_for("plateau")
        assert colour.search(terminal.written)


@pytest.mark.thorough
def test_little_is_written_for_a_key(club, tmp_path):
    with closing(Terminal(club, tmp_path, SSH_CONNECTION="10.0.0.1 1 10.0.0.2 22")) as terminal:
        terminal.wait_for("plateau")
        terminal.read(2.0)
        before = len(terminal.written)
        terminal.send("j", 1.0)
        assert 0 < len(terminal.written) - before <= 2000


@pytest.mark.thorough
def test_what_is_typed_before_the_roster_is_up_does_not_end_in_the_hidden_filter(club, tmp_path):
    with closing(Terminal(club, tmp_path)) as terminal:
        terminal.send("q", 0.0)
        terminal.wait_for("plateau")
        terminal.read(1.0)
        assert b"everybody, 4" in terminal.written
        assert b"everybody, 0" not in terminal.written
