"""The roster as text: nothing lost off a terminal, nothing crooked on one."""

from __future__ import annotations

import pytest
from wcwidth import wcswidth

from tests.output.cases import AS_OF, verdict_like
from tests.output.lines import UNTESTED, line_of
from tracker.output.cells import cells, fit
from tracker.output.text import HEADER, roster_text

NAMES = (
    "Ines Aalto",
    "凌汐舟",
    "\N{SWIMMER}\N{EMOJI MODIFIER FITZPATRICK TYPE-4}\u200d\N{FEMALE SIGN}\ufe0f Ana",
    "Zoe\u0308",
    "x" * 200,
    "سامر بحری",
)


def test_off_a_terminal_every_line_is_one_record_with_all_cells() -> None:
    text = roster_text([line_of(name="x" * 200), UNTESTED], AS_OF)
    rows = [line.split("\t") for line in text.splitlines()]
    assert [len(row) for row in rows] == [len(HEADER)] * 3
    assert rows[0] == list(HEADER)
    assert rows[1][0] == "x" * 200
    assert rows[1][2:] == ["■ plateau", "11 February", "93 %", "+0.02", "breath-late:left (open)", "review"]
    assert rows[2][2] == "○ no tests"


@pytest.mark.parametrize("width", [40, 80, 120, 200])
def test_on_a_terminal_no_line_is_wider_and_columns_line_up(width: int) -> None:
    lines = [line_of(name=name) for name in NAMES]
    rows = roster_text(lines, AS_OF, width).splitlines()
    assert all(wcswidth(row) <= width for row in rows)
    starts = {wcswidth(row[: row.index("■ plateau")]) for row in rows[1:]}
    assert len(starts) == 1


def test_at_eighty_columns_sixteen_cells_of_a_name_are_seen() -> None:
    name = "abcdefghijklmnopqrstuvwxyz"
    assert name[:15] in roster_text([line_of(name=name)], AS_OF, 80)


def test_a_name_from_a_foreign_hand_cannot_steer_the_terminal() -> None:
    bad = "\x1b]0;EBBED\x1b\\Ana\x9b2J\r"
    text = roster_text([line_of(name=bad)], AS_OF)
    assert not any((ord(c) < 32 and c not in "\t\n") or 0x7F <= ord(c) <= 0x9F for c in text)


def test_a_rate_is_shown_but_no_onset_is_claimed_too_early() -> None:
    row = roster_text([line_of(verdict_like(verdict="too early"), None)], AS_OF).splitlines()[1].split("\t")
    assert row[3] == row[4] == ""
    assert row[5] == "+0.02"


def test_one_test_is_given_no_rate() -> None:
    verdict = verdict_like(verdict="too early", tests=1)
    row = roster_text([line_of(verdict, None)], AS_OF).splitlines()[1].split("\t")
    assert row[3:6] == ["", "", ""]


def test_cutting_keeps_clusters_whole() -> None:
    assert fit("凌汐舟", 5) == "凌汐…"
    assert cells(fit("Zoe\u0308 Lund", 4)) == 4
    assert fit("ab", 4, pad=True) == "ab  "
    assert fit("abc", 0) == ""
