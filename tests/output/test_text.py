"""The roster as text: nothing lost off a terminal, nothing crooked on one."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace

import pytest
from wcwidth import wcswidth

from tests.output.cases import AS_OF, verdict_like
from tests.output.lines import UNTESTED, line_of
from tracker.engine.series.left_out import LeftOut, LeftOutReason
from tracker.output.text import HEADER, cells, fit, left_out_sentence, roster_rows, roster_table, roster_text

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


def test_one_whose_swims_are_all_too_easy_is_too_early_with_the_reason() -> None:
    easy = (LeftOut(UNTESTED.swimmer, AS_OF, LeftOutReason.EASY),)
    row = roster_text([replace(UNTESTED, left_out=easy)], AS_OF).splitlines()[1].split("\t")
    assert row[2:6] == ["○ too early", "effort < 8", "", ""]


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


STALE = line_of(
    verdict_like(verdict="plateau", since=dt.date(2025, 11, 25), stale=True, p_flat=0.999),
    name="Rosalind Etxeberria of the long name",
    group="a group of a long name",
)


@pytest.mark.parametrize(
    ("width", "header"),
    [
        (24, "swimmer"),
        (40, "swimmer verdict rate"),
        (60, "swimmer verdict since sure rate"),
        (80, "swimmer verdict since sure rate left due"),
        (100, "swimmer group verdict since sure rate left due"),
        (200, "swimmer group verdict since sure % left due"),
    ],
)
def test_columns_are_narrowed_before_any_is_left_out_and_the_most_useful_stay(
    width: int, header: str
) -> None:
    table = roster_table(roster_rows([STALE, UNTESTED], AS_OF), width)
    head, *rows = table.lines
    found = [word for word in head.split() if word in header.split()]
    assert found == header.split()
    assert all(wcswidth(line) <= width for line in (head, *rows))
    shown = {"rate": "% a month", "%": "% a month", "left": "left uncorrected"}
    named = {shown.get(word, word) for word in header.split()}
    assert set(table.left_out) == (
        set(HEADER) - named if width > 24 else set(HEADER) - {"swimmer", "verdict"}
    )


def test_at_eighty_columns_what_is_cut_says_so_and_the_figures_are_whole() -> None:
    row = list(roster_table(roster_rows([STALE], AS_OF), 80).lines)[1]
    assert [cell.strip() for cell in row.split("  ")] == [
        "Rosalind Etxeberr…",
        "■ plateau",
        "25 Nov 2025…",
        ">99 %",
        "+0.02",
        "breath-late…",
        "review",
    ]


def test_a_roster_with_room_is_not_shortened() -> None:
    rows = roster_rows([STALE], AS_OF)
    assert [cell for cell in rows[0] if cell not in list(roster_table(rows, 200).lines)[1]] == []


def test_what_is_left_out_is_named_with_the_width_that_shows_it() -> None:
    rows = roster_rows([STALE], AS_OF)
    narrow = roster_table(rows, 60)
    assert left_out_sentence(narrow, 60) == (
        f"Not shown, for want of room in 60 columns: left uncorrected, due and group. "
        f"A terminal of {narrow.needed} columns shows all; a file or a pipe always does."
    )
    assert roster_table(rows, narrow.needed).left_out == ()
    assert roster_table(rows, narrow.needed - 1).left_out == ("group",)
    assert (
        left_out_sentence(roster_table(rows, 200), 200) == left_out_sentence(roster_table(rows), None) == ""
    )


def test_a_name_from_a_foreign_hand_cannot_steer_the_terminal() -> None:
    bad = "\x1b]0;EBBED\x1b\\Ana\x9b2J\r"
    text = roster_text([line_of(name=bad)], AS_OF)
    assert not any((ord(c) < 32 and c not in "\t\n") or 0x7F <= ord(c) <= 0x9F for c in text)


@pytest.mark.parametrize(("word", "said"), [("too early", "○ too early"), ("undecided", "◇ undecided")])
def test_a_rate_is_shown_but_no_onset_is_claimed_without_a_word(word: str, said: str) -> None:
    row = roster_text([line_of(verdict_like(verdict=word), None)], AS_OF).splitlines()[1].split("\t")
    assert row[2] == said
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
