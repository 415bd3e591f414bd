"""Times as they are typed on the command line: what has two readings is asked, or refused with both."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.cli.conftest import Cli
from tracker.cli.wiring import Context


def _times(ines: Cli) -> list[float]:
    return [swim["time_s"] for swim in ines("swims", "Ines Aalto", "--json").json["swims"]]


@pytest.mark.parametrize(
    "words",
    [
        ["log", "Ines Aalto", "t400", "640"],
        ["swim", "edit", "1", "--time", "640"],
        ["css", "640", "3:10"],
        ["pace", "640", "400"],
    ],
)
def test_two_readings_are_exit_2_off_a_terminal_and_both_are_named(ines: Cli, words: list[str]) -> None:
    assert ines("log", "Ines Aalto", "t400", "6:50", "--date", "2026-06-01").code == 0
    ran = ines(*words)
    assert (ran.code, ran.out) == (2, "")
    assert "'640' may be 6:40 or 10:40; type the one that is meant" in ran.err
    assert ran.err.count("\n") == 1
    assert _times(ines) == [410.0]


@pytest.mark.parametrize(
    ("words", "meant"),
    [
        (["log", "Ines Aalto", "t400", "6.40"], "6:40"),
        (["log", "Ines Aalto", "t400", "6,40"], "6:40"),
        (["pace", "6.40", "400"], "6:40"),
        (["pace", "--css", "1.32"], "1:32"),
        (["swimmer", "add", "Bo Dahl", "--target-pace", "1.32"], "1:32"),
        (["swimmer", "edit", "Ines Aalto", "--target-pace", "1.32"], "1:32"),
    ],
)
def test_a_point_for_a_colon_is_refused_with_what_is_meant(ines: Cli, words: list[str], meant: str) -> None:
    ran = ines(*words)
    assert (ran.code, ran.out) == (2, "")
    assert f"did you mean {meant}?" in ran.err
    assert _times(ines) == []
    assert [one["target_pace"] for one in ines("swimmer", "list", "--json").json["swimmers"]] == [None]


def test_a_target_that_nobody_swims_is_no_target(ines: Cli) -> None:
    ran = ines("swimmer", "edit", "Ines Aalto", "--target-pace", "0:01.32")
    assert ran.code == 2
    assert "target_pace: '0:01.32' is 0:01.32 per 100 m; a pace is 0:40 to 6:00" in ran.err
    assert ines("swimmer", "edit", "Ines Aalto", "--target-pace", "92").code == 0


def test_one_reading_is_taken_and_echoed(ines: Cli) -> None:
    assert ines("test", "add", "t100", "--distances", "100").code == 0
    assert " in 1:35," in ines("log", "Ines Aalto", "t100", "95").out


@pytest.mark.parametrize(
    ("answer", "stored"), [("6:40\n", [400.0]), ("10:40\n", [640.0]), ("\n", []), ("y\n", [])]
)
def test_on_a_terminal_the_answer_is_taken(
    ines: Cli, monkeypatch: pytest.MonkeyPatch, answer: str, stored: list[float]
) -> None:
    monkeypatch.setattr(Context, "may_ask", property(lambda _: True))
    ran = ines("log", "Ines Aalto", "t400", "640", stdin=answer.encode())
    assert ran.code == (0 if stored else 2)
    assert "[6:40/10:40]" in ran.err
    assert _times(ines) == stored


def test_on_a_terminal_each_text_is_asked_once_and_then_the_doubts(
    ines: Cli, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(Context, "may_ask", property(lambda _: True))
    ran = ines("log", "Ines Aalto", "reps", "3x100", "130", "131", "130", stdin=b"1:30\n1:31\n")
    assert (ran.code, _times(ines)) == (0, [90.0, 91.0, 90.0])
    assert ran.err.count("may be") == 2
    ran = ines("swimmer", "edit", "Ines Aalto", "--target-pace", "1.32", stdin=b"y\n")
    assert ran.code == 0
    assert "did you mean 1:32? [y/N]" in ran.err
    ran = ines("swim", "edit", "1", "--time", "128", stdin=b"1:28\n")
    assert " in 1:28," in ran.out
    ran = ines("css", "640", "310", stdin=b"6:40\n3:10\n")
    assert ran.out.startswith("CSS 1:45.0 per 100 m")


def test_with_something_else_wrong_nothing_is_asked(ines: Cli, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(Context, "may_ask", property(lambda _: True))
    ran = ines("log", "Ines Aalto", "t400", "640", "--date", "2026-02-30", stdin=b"6:40\n")
    assert ran.code == 2
    assert "[6:40" not in ran.err


def test_a_filled_sheet_is_typed_and_a_column_of_seconds_is_not(ines: Cli, home: Path) -> None:
    (home / "sheet.csv").write_text("swimmer,test,date,time 400\nInes Aalto,t400,2026-06-28,640\n")
    ran = ines("log", "--table", "sheet.csv")
    assert ran.code == 2
    assert "Ines Aalto: time: '640' may be 6:40 or 10:40" in ran.err
    (home / "swims.csv").write_text("date,swimmer,test,time\n2026-06-28,Ines Aalto,t400,640\n")
    assert ines("import", "swims.csv").code == 0
    assert _times(ines) == [640.0]
    (home / "series.csv").write_text(
        "swimmer,date,pace\n" + "".join(f"Ines Aalto,2026-05-{day:02d},130\n" for day in range(1, 20))
    )
    assert ines("judge", "series.csv", "--json").json["unused"] == []
