"""What the verdict sets aside counts nowhere else, and `swims` and `why` say so of the same tests."""

from __future__ import annotations

import datetime as dt
import re
from pathlib import Path

import pytest

from tests.builders import a_season
from tests.cli.conftest import Cli, Ran
from tracker.model.units import format_time

FIRST = dt.date(2025, 12, 1)
MISTYPED = dt.date(2026, 3, 2)


@pytest.fixture
def typed(ines: Cli, home: Path) -> Cli:
    """Thirty weekly tests that scatter by 1.1 %; one of 5:1x was typed as 8:1x, its strokes as 54."""
    days, paces = a_season([(6.7, 0.0)], seed=4, pace=78.0)
    rows = ["date,swimmer,test,distance_m,time,course,strokes,rate_cpm"]
    for place, (after, pace) in enumerate(zip(days, paces, strict=True)):
        day = FIRST + dt.timedelta(days=after)
        wrong = day == MISTYPED
        time = format_time(round(4 * pace + 180 * wrong, 1))
        strokes, rate = ("54", "99") if wrong else (str(18 + place % 2), "")
        rows.append(f"{day},Ines Aalto,t400,400,{time},SCM,{strokes},{rate}")
    folder = home / "season"
    folder.mkdir()
    (folder / "swims.csv").write_text("\n".join(rows) + "\n")
    assert ines("import", str(folder)).code == 0
    return ines


def listed(ran: Ran) -> dict[str, dict[str, object]]:
    assert ran.code == 0, ran.err
    return {swim["date"]: swim for swim in ran.json["swims"]}


def test_swims_marks_and_lists_what_why_sets_aside(typed: Cli) -> None:
    why = typed("why", "Ines Aalto")
    assert "The test of 2 March 2026 is set aside; check the typing" in why.out
    (reason,) = re.findall(r"check the typing: \d+ typical errors from the line", why.out)[:1]
    swims = listed(typed("swims", "Ines Aalto", "--json"))
    assert [day for day, swim in swims.items() if not swim["counts"]] == ["2026-03-02"]
    assert swims["2026-03-02"]["remarks"][0] == f"set aside, {reason}"
    assert "2026-03-02" in listed(typed("swims", "Ines Aalto", "--doubtful", "--json"))
    row = next(line for line in typed("swims", "Ines Aalto").out.splitlines() if "2026-03-02" in line)
    assert row.split("\t")[8:] == ["no", f"set aside, {reason}; " + row.split("; ", 1)[1]]


def test_the_typical_error_and_the_counts_leave_out_what_is_set_aside(typed: Cli) -> None:
    """It stood beside "scatters by 1.1 %" as 8.3 %, for one mistyped time."""
    why = typed("why", "Ines Aalto").out
    error = float(re.findall(r"typical error ([\d.]+) %", why)[0])
    scatter = float(re.findall(r"scatters by ([\d.]+) %", why)[0])
    assert error == pytest.approx(scatter, abs=0.5)
    days = len(listed(typed("swims", "Ines Aalto", "--json")))
    assert typed("why", "Ines Aalto", "--json").json["tests"] == days - 1


def test_a_last_test_that_is_set_aside_is_not_the_last(typed: Cli) -> None:
    assert typed("log", "Ines Aalto", "t400", "14:10", "--date", "2026-06-29").code == 0
    found = typed("why", "Ines Aalto", "--json").json
    assert [test["date"] for test in found["set_aside"]] == ["2026-03-02", "2026-06-29"]
    assert found["last"] < "2026-06-29"
    assert found["tests"] == len(listed(typed("swims", "Ines Aalto", "--json"))) - 2


def test_the_page_marks_the_test_and_reads_no_strokes_off_it(typed: Cli) -> None:
    assert typed("page", "Ines Aalto", "--month", "2026-03", "--format", "txt,html", "--out", ".").code == 0
    (text,) = [path.read_text() for path in Path.cwd().glob("*.txt")]
    flat = " ".join(text.split())
    assert "400 m SCM*" in flat
    assert "* 2 Mar: does not count; set aside, check the typing" in flat
    assert flat.count("SCM*") == 1
    strokes = flat[flat.index("Stroke rate and length") :]
    assert "99" not in strokes


def test_what_a_coach_kept_and_the_line_sets_aside_is_said_to_be_set_aside(typed: Cli) -> None:
    (number,) = [
        swim["id"]
        for day, swim in listed(typed("swims", "Ines Aalto", "--json")).items()
        if day == "2026-03-02"
    ]
    assert typed("swim", "keep", str(number)).code == 0
    assert listed(typed("swims", "Ines Aalto", "--json"))["2026-03-02"]["counts"] is False
    assert "is set aside" in typed("why", "Ines Aalto").out
    assert typed("swim", "aside", str(number), "--reason", "typed wrong").code == 0
    assert "1 swim left out: set aside by a person." in typed("why", "Ines Aalto").out
