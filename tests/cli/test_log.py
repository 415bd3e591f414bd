"""Logging a test swim from the command line."""

from __future__ import annotations

import sys
from pathlib import Path

import pytest

from tests.cli.conftest import Cli
from tracker.cli.wiring import Context


def test_a_pair_is_logged_with_its_css(ines: Cli) -> None:
    ran = ines("log", "ines  aalto", "css", "6:40", "3:10", "--strokes", "18", "--note", "-3 s vs May")
    assert ran.code == 0
    assert ran.out.startswith(
        "logged 1: Ines Aalto, css on 2026-06-30, 400 m SCM in 6:40, 1:40.0 per 100 m\n"
    )
    assert "CSS 1:45.0 per 100 m (90 % interval 1:39.5 to 1:50.5" in ran.out
    swims = ines("swims", "Ines Aalto", "--json").json["swims"]
    assert [(s["distance_m"], s["time_s"], s["strokes"], s["note"]) for s in swims] == [
        (400.0, 400.0, "18", "-3 s vs May"),
        (200.0, 190.0, "18", "-3 s vs May"),
    ]
    assert len({s["set_id"] for s in swims}) == 1


def test_the_caution_on_maximal_tests_comes_with_the_first(ines: Cli) -> None:
    assert "caution: swim a maximal test only when well" in ines("log", "Ines Aalto", "t400", "6:40").err
    assert ines("log", "Ines Aalto", "t400", "6:41", "--date", "2026-06-29").err == ""


def test_the_course_is_as_given_else_the_usual_pool(ines: Cli) -> None:
    assert " LCM " in ines("log", "Ines Aalto", "t400", "6:50", "--course", "lcm").out
    usual = ines("log", "Ines Aalto", "t400", "6:51", "--date", "2026-06-29")
    assert " LCM " in usual.out
    assert "course:" not in usual.err


@pytest.mark.parametrize(
    ("elsewhere", "said"), [("OW", "the last swim was OW"), ("SCY", "the last swim was SCY")]
)
def test_one_swim_elsewhere_does_not_stick(ines: Cli, elsewhere: str, said: str) -> None:
    for day in ("01", "02"):
        assert ines("log", "Ines Aalto", "t400", "6:40", "--date", f"2026-06-{day}").code == 0
    away = ines("log", "Ines Aalto", "t400", "7:10", "--date", "2026-06-08", "--course", elsewhere)
    assert "course:" not in away.err
    ran = ines("log", "Ines Aalto", "t400", "6:35", "--date", "2026-06-15")
    assert " 400 m SCM in 6:35" in ran.out
    assert f"course: Ines Aalto: SCM, the usual pool, is taken, but {said}" in ran.err
    assert ines("log", "Ines Aalto", "t400", "7:10", "--date", "2026-06-20", "--course", elsewhere).code == 0
    remarks = ines("log", "Ines Aalto", "t400", "6:36", "--date", "2026-06-21", "--json").json["remarks"]
    assert [said in remark for remark in remarks if "usual pool" in remark] == [True]
    assert "usual pool" not in ines("log", "Ines Aalto", "t400", "6:36", "--course", "SCM").err
    assert {s["course"] for s in ines("swims", "Ines Aalto", "--json").json["swims"]} == {"SCM", elsewhere}


def test_a_lake_alone_leaves_the_course_to_the_settings(ines: Cli, monkeypatch: pytest.MonkeyPatch) -> None:
    assert ines("log", "Ines Aalto", "t400", "7:10", "--date", "2026-06-08", "--course", "OW").code == 0
    monkeypatch.setenv("SLACKWATER_COURSE", "LCM")
    ran = ines("log", "Ines Aalto", "t400", "6:35")
    assert " LCM " in ran.out
    assert "LCM, as the settings say, is taken, but the last swim was OW" in ran.err


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (["t100x", "1:10"], "no test is called 't100x'"),
        (["t400", "1:40"], "faster than anybody swims"),
        (["css", "6:20", "3:10"], "so the shorter was swum no faster"),
        (["css", "3:05", "3:10"], "the longer took no longer"),
        (["t400", "40:00"], "slower than 6:00"),
        (["t400", "6:40", "6:41"], "t400 takes 1 time (400 m); 2 given"),
    ],
)
def test_what_cannot_be_right_is_exit_2_and_stores_nothing(ines: Cli, words: list[str], said: str) -> None:
    ran = ines("log", "Ines Aalto", *words)
    assert (ran.code, ran.out) == (2, "")
    assert said in ran.err
    assert ran.err.count("\n") == 1
    assert ines("swims", "Ines Aalto", "--json").json["swims"] == []


def test_an_implausible_swim_counts_once_accepted_and_says_so(ines: Cli) -> None:
    refused = ines("log", "Ines Aalto", "t400", "2:35")
    assert "--accept-implausible" in refused.err
    ran = ines("log", "Ines Aalto", "t400", "2:35", "--accept-implausible")
    assert ran.code == 0
    assert "accepted: 0:38.8 per 100 m is faster than anybody swims" in ran.err
    (swim,) = ines("swims", "Ines Aalto", "--json").json["swims"]
    assert (swim["decision"], swim["counts"]) == ("accepted", True)


@pytest.mark.parametrize(("answer", "logged"), [("y\n", 1), ("n\n", 0), ("", 0)])
def test_on_a_terminal_the_implausible_is_asked_about(
    ines: Cli, monkeypatch: pytest.MonkeyPatch, answer: str, logged: int
) -> None:
    monkeypatch.setattr(Context, "may_ask", property(lambda _: True))
    ran = ines("log", "Ines Aalto", "t400", "2:35", stdin=answer.encode())
    assert ran.code == (0 if logged else 2)
    assert "Log it all the same? [y/N]" in ran.err
    assert len(ines("swims", "Ines Aalto", "--json").json["swims"]) == logged


def test_off_a_terminal_and_with_no_input_nothing_is_asked(
    ines: Cli, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(sys.stderr, "isatty", lambda: True, raising=False)
    assert "[y/N]" not in ines("log", "Ines Aalto", "t400", "2:35", "--no-input").err


def test_everything_wrong_is_said_at_once(ines: Cli) -> None:
    ran = ines(
        "log",
        "Ines Aalto",
        "t400",
        "6:75",
        "--date",
        "2026-02-30",
        "--course",
        "X",
        "--rate",
        "64",
        "--effort",
        "11",
    )
    assert ran.code == 2
    for said in (
        "'6:75' has 75 seconds",
        "no calendar has",
        "'X' is not a course",
        "write 32cpm",
        "'11' is above 10",
    ):
        assert said in ran.err


def test_an_unknown_swimmer_is_met_with_the_nearest_name(ines: Cli) -> None:
    ran = ines("log", "Ines Alto", "t400", "6:40")
    assert (ran.code, ran.err) == (2, "error: no swimmer is called 'Ines Alto'; did you mean Ines Aalto?\n")


def test_the_same_swim_twice_and_a_slip_of_a_minute_are_remarked_upon(ines: Cli) -> None:
    for day in range(1, 7):
        assert ines("log", "Ines Aalto", "t400", "6:40", "--date", f"2026-06-0{day}").code == 0
    assert (
        "is logged for that day already"
        in ines("log", "Ines Aalto", "t400", "6:40", "--date", "2026-06-06").err
    )
    assert "15 % faster than the median" in ines("log", "Ines Aalto", "t400", "5:40").err


def test_thirty_minutes_faster_than_css_are_remarked_upon(ines: Cli) -> None:
    assert ines("log", "Ines Aalto", "css", "6:40", "3:10", "--date", "2026-06-20").code == 0
    assert "no slower than the last CSS" in ines("log", "Ines Aalto", "t30", "1750m").err
    assert "CSS" not in ines("log", "Ines Aalto", "t30", "1600m", "--date", "2026-06-29").err


def test_hostile_text_is_data(ines: Cli) -> None:
    note = "Tansy'); DELETE FROM swim;-- [red]x[/] {0} %s =8-3"
    assert ines("log", "Ines Aalto", "t400", "6:40", "--note", note).code == 0
    assert ines("swims", "Ines Aalto", "--json").json["swims"][0]["note"] == note
    refused = ines("log", "Ines Aalto", "t400", "6:40", "--note", "\x1b]52;c;ZWJi\x07Ana")
    assert refused.code == 2
    assert "\x1b" not in refused.err


def test_an_unclear_date_is_not_told_of_a_flag_that_log_lacks(ines: Cli, tmp_path: Path) -> None:
    assert ines("log", "Ines Aalto", "t400", "6:40").code == 0
    sheet = tmp_path / "sheet.csv"
    sheet.write_text("swimmer,test,time,date\nInes Aalto,t400,6:40,6.11.2025\n")
    for words in (
        ("log", "Ines Aalto", "t400", "6:40", "--date", "6.11.2025"),
        ("log", "--table", str(sheet)),
        ("swim", "edit", "1", "--date", "6.11.2025"),
    ):
        ran = ines(*words)
        assert ran.code == 2
        assert "does not say the order of day and month; write it as 2026-02-01" in ran.err
        assert "--date-format" not in ran.err
