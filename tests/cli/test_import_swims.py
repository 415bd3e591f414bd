"""Somebody's own file of swims through the command: what it is, whose, and that nothing is lost unsaid."""

from __future__ import annotations

import re
import tomllib
from pathlib import Path
from typing import Any

import pytest

from tests.cli.conftest import Cli

README = Path(__file__).parents[2] / "README.md"


def _swims(ines: Cli, name: str = "Ines Aalto") -> list[tuple[Any, ...]]:
    found = ines("swims", name, "--json").json["swims"]
    return [(one["date"], one["distance_m"], one["time_s"], one["course"]) for one in found]


def test_dates_tests_and_times_are_swims_of_the_only_swimmer(ines: Cli, home: Path) -> None:
    for name in ("mine.csv", "tests.csv", "swimmers.csv"):
        (home / name).write_text("date,test,time\n2026-05-04,t400,6:45\n2026-05-11,t400,6:44\n")
        ran = ines("import", name)
        assert ran.code == 0
        assert "all are taken as those of Ines Aalto" in ran.err
    assert _swims(ines) == [("2026-05-04", 400.0, 405.0, "SCM"), ("2026-05-11", 400.0, 404.0, "SCM")]
    assert len(ines("test", "list", "--json").json["tests"]) == 7


def test_among_several_swimmers_or_none_it_must_be_said_whose(cli: Cli, home: Path) -> None:
    (home / "mine.csv").write_text("date,test,time\n2026-05-04,t400,6:45\n")
    ran = cli("import", "mine.csv")
    assert (ran.code, ran.err.count("\n")) == (2, 1)
    assert "no swimmer is on record; say --swimmer NAME" in ran.err
    assert cli("import", "mine.csv", "--swimmer", "Ines Aalto").code == 0
    assert cli("swimmer", "add", "Bo Dahl").code == 0
    ran = cli("import", "mine.csv")
    assert (ran.code, ran.out) == (2, "")
    assert "2 swimmers are on record; say --swimmer NAME" in ran.err
    assert cli("import", "mine.csv", "--swimmer", "bo  dahl").code == 0
    assert len(_swims(cli, "Bo Dahl")) == len(_swims(cli)) == 1


def test_a_german_file_says_what_it_lacks_and_then_goes_in(ines: Cli, home: Path) -> None:
    (home / "zeiten.csv").write_text("Datum;Name;Zeit\n04.05.2026;Zoë;6:45,2\n11.05.2026;Zoë;6:44\n")
    ran = ines("import", "zeiten.csv")
    assert (ran.code, ran.out, ran.err.count("\n")) == (4, "", 1)
    assert "the header 'Datum, Name, Zeit' names no distance and no test; say which with --test" in ran.err
    assert [one["swimmer"] for one in ines("swimmer", "list", "--json").json["swimmers"]] == ["Ines Aalto"]
    assert ines("import", "zeiten.csv", "--test", "t40").code == 2
    assert ines("import", "zeiten.csv", "--test", "t400", "--date-format", "dmy").code == 0
    assert _swims(ines, "Zoë") == [("2026-05-04", 400.0, 405.2, "SCM"), ("2026-05-11", 400.0, 404.0, "SCM")]


@pytest.mark.parametrize("how", [[], ["--dry-run"], ["--strict"]])
@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("date,swimmer,test,time\n2026-05-04,Ana,t400,6:75\n2026-05-05,Ana,t400,x\n", "all 2 rows refused"),
        ("date,swimmer,test,time\n2027-05-04,Ana,t400,6:45\n", "its row refused"),
        ("date,swimmer,test,time\n", "no row there"),
    ],
)
def test_a_file_that_gave_no_swim_is_no_success(
    ines: Cli, home: Path, text: str, said: str, how: list[str]
) -> None:
    (home / "swims.csv").write_text(text)
    ran = ines("import", "swims.csv", *how)
    assert ran.code == 4
    assert ran.err.splitlines()[-1].startswith(
        f"error: swims.csv: not one swim was read, {said}; the header is 'date,"
    )
    assert "--map" in ran.err
    assert [one["swimmer"] for one in ines("swimmer", "list", "--json").json["swimmers"]] == ["Ines Aalto"]


def test_a_header_that_is_none_is_quoted_and_says_how_to_mend_it(ines: Cli, home: Path) -> None:
    (home / "swimmers.csv").write_text("Name;Datum;Marke\nZoë;2026-05-04;6:45\n")
    ran = ines("import", "swimmers.csv")
    assert (ran.code, ran.err.count("\n")) == (4, 1)
    assert "the header 'Name, Datum, Marke' is not one of ours; swims need a date, a time" in ran.err


def test_columns_left_out_and_courses_taken_are_said(ines: Cli, home: Path) -> None:
    (home / "mine.csv").write_text("date,swimmer,test,time,Ort,\n2026-05-04,Ana,t400,6:45,Saltmere,x\n")
    ran = ines("import", "mine.csv")
    assert ran.code == 0
    assert "Ort: unknown column, ignored" in ran.err
    assert "column 6, which has no name: unknown column, ignored" in ran.err
    assert "course: rows that name none were taken: 1 as SCM; if that is wrong, say --course" in ran.err


def test_a_row_without_a_course_is_in_the_usual_pool_and_known_when_it_comes_again(
    ines: Cli, home: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("SLACKWATER_COURSE", "LCM")
    (home / "mine.csv").write_text("date,test,time\n2026-05-04,t400,6:45\n")
    assert ines("import", "mine.csv").code == 0
    assert _swims(ines)[0][3] == "LCM"
    for day in range(1, 10):
        log = ("log", "Ines Aalto", "t400", "6:30", "--date", f"2026-06-0{day}", "--course", "SCY")
        assert ines(*log).code == 0
    assert "1 row already there" in ines("import", "mine.csv").out
    (home / "more.csv").write_text("date,test,time\n2026-06-20,t400,6:31\n")
    assert "1 as SCY" in ines("import", "more.csv").err
    assert _swims(ines)[-1][1:] == (pytest.approx(365.76), 391.0, "SCY")
    (home / "most.csv").write_text("date,test,time,course\n2026-06-21,t400,6:41,\n2026-06-22,t400,6:41,LCM\n")
    assert ines("import", "most.csv", "--course", "scm").code == 0
    assert [swim[3] for swim in _swims(ines)[-2:]] == ["SCM", "LCM"]
    assert ines("import", "most.csv", "--course", "lake").code == 2


def test_an_own_test_on_record_says_its_distance(ines: Cli, home: Path) -> None:
    assert ines("test", "add", "t300", "--distances", "300").code == 0
    (home / "mine.csv").write_text("date,test,time\n2026-05-04,t300,4:45\n")
    assert ines("import", "mine.csv").code == 0
    assert _swims(ines)[0][1] == 300.0


def _example(text: str) -> str:
    """Return the map that a text shows, up to the first line that is none of it."""
    start = text.index('file = "swims"')
    lines = [line.strip() for line in text[start:].splitlines()]
    end = next((at for at, line in enumerate(lines) if not re.match(r'\[|"|\w+ = ', line)), len(lines))
    return "\n".join(lines[:end]) + "\n"


@pytest.mark.parametrize("where", ["help", "manual", "README"])
def test_the_map_that_is_documented_reads_a_file(ines: Cli, home: Path, where: str) -> None:
    shown = {
        "help": lambda: ines("import", "--help").out,
        "manual": lambda: ines("manual").out.replace("\\-", "-").replace("\\&", ""),
        "README": lambda: README.read_text(encoding="utf-8"),
    }[where]()
    (home / "results.toml").write_text(_example(shown))
    told = tomllib.loads(_example(shown))
    assert set(told) == {"file", "date_format", "distance_unit", "clock", "columns", "fixed"}
    (home / "results.csv").write_text(
        "Wann;Wer;Wie weit;Wie lange\n04.05.2026;Ines Aalto;400;5:58,5\n11.05.2026;Ines Aalto;400;5:57\n"
    )
    assert ines("import", "results.csv").code == 4
    ran = ines("import", "results.csv", "--map", "results.toml")
    assert ran.code == 0
    assert _swims(ines) == [
        ("2026-05-04", pytest.approx(365.76), 358.5, "SCY"),
        ("2026-05-11", pytest.approx(365.76), 357.0, "SCY"),
    ]


def test_a_target_that_nobody_swims_is_told(cli: Cli, home: Path) -> None:
    (home / "people.csv").write_text("swimmer,target_pace\nAna,1.32\nBo,1:32\n")
    ran = cli("import", "people.csv")
    assert ran.code == 0
    assert "people.csv:2:target_pace: 0:01.32 per 100 m is no pace of a swim" in ran.err
    assert "people.csv:3" not in ran.err
