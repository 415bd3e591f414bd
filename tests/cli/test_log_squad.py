"""The poolside sheet: printed blank, taken filled, all rows or none."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.cli.conftest import Cli


@pytest.fixture
def squad(ines: Cli) -> Cli:
    assert ines("swimmer", "add", "Bram Toivonen", "--group", "Masters").code == 0
    assert ines("swimmer", "add", "Kofi Marchetti", "--group", "Tri").code == 0
    return ines


def _filled(squad: Cli, home: Path, test: str, rows: dict[str, str]) -> str:
    """Print a sheet, fill the rows in after the date, and save it."""
    header, *lines = squad("log", "--sheet", test).out.splitlines()
    filled = [f"{','.join(line.split(',')[:3])},{rows.get(line.split(',')[0], ',,,,,')}" for line in lines]
    (home / "sheet.csv").write_text("\n".join([header, *filled]), encoding="utf-8")
    return "sheet.csv"


def test_a_blank_sheet_has_a_row_a_swimmer(squad: Cli) -> None:
    ran = squad("log", "--sheet", "css", "--group", "Masters")
    assert ran.out.splitlines() == [
        "swimmer,test,date,time 400,time 200,strokes,rate,effort,note",
        "Bram Toivonen,css,2026-06-30,,,,,,",
        "Ines Aalto,css,2026-06-30,,,,,,",
    ]
    assert squad("log", "--sheet", "t30").out.startswith("swimmer,test,date,distance,strokes")
    assert squad("log", "--sheet", "reps").out.startswith("swimmer,test,date,set,time 1,time 2")


def test_a_filled_sheet_is_logged_and_is_one_change(squad: Cli, home: Path) -> None:
    sheet = _filled(
        squad, home, "css", {"Ines Aalto": "6:40,3:10,18,64spm,9,", "Bram Toivonen": "7:10,3:25,,,,windy"}
    )
    ran = squad("log", "--table", sheet, "--course", "LCM")
    assert ran.code == 0
    assert ran.out.count("logged ") == 4
    assert ran.out.count("CSS 1:") == 2
    swims = squad("swims", "Ines Aalto", "--json").json["swims"]
    assert [(s["time_s"], s["course"], s["strokes"], s["rate_cpm"], s["effort"]) for s in swims] == [
        (400.0, "LCM", "18", 32.0, 9),
        (190.0, "LCM", "18", 32.0, 9),
    ]
    assert squad("swims", "Kofi Marchetti", "--json").json["swims"] == []
    assert squad("undo").code == 0
    assert squad("swims", "Bram Toivonen", "--json").json["swims"] == []


def test_repeats_and_thirty_minutes_come_from_a_sheet_too(squad: Cli) -> None:
    data = b"swimmer,test,date,set,time 1,time 2\nInes Aalto,reps,2026-06-30,2x100,1:40,1:41\n"
    assert squad("log", "--table", "-", stdin=data).out.count("logged") == 2
    data = b"swimmer,test,distance\nInes Aalto,t30,1480m\n"
    assert "1480 m" in squad("log", "--table", "-", "--date", "2026-06-29", stdin=data).out


def test_one_wrong_row_stores_none_and_every_problem_is_said(squad: Cli, home: Path) -> None:
    sheet = _filled(squad, home, "css", {"Ines Aalto": "6:75,3:10,,,11,", "Bram Toivonen": "7:10,x,,,,"})
    ran = squad("log", "--table", sheet)
    assert (ran.code, ran.out) == (2, "")
    assert "Ines Aalto: time: '6:75' has 75 seconds" in ran.err
    assert "Ines Aalto: effort: '11' is above 10" in ran.err
    assert "Bram Toivonen: time: 'x' is not a time" in ran.err
    assert ran.err.splitlines()[-1].startswith("error: ")
    assert squad("swims", "Bram Toivonen", "--json").json["swims"] == []


def test_an_implausible_row_needs_a_person(squad: Cli, home: Path) -> None:
    sheet = _filled(squad, home, "css", {"Ines Aalto": "6:00,3:10,,,,"})
    ran = squad("log", "--table", sheet)
    assert ran.code == 2
    assert "Ines Aalto: 400 m in 6:00 and 200 m in 3:10" in ran.err
    assert squad("log", "--table", sheet, "--accept-implausible").code == 0
    assert squad("swims", "Ines Aalto", "--json").json["swims"][0]["decision"] == "accepted"


@pytest.mark.parametrize(
    ("data", "code", "said"),
    [
        (b"", 4, "is empty"),
        (b"name,time\nx,6:40\n", 4, "no column swimmer"),
        (b"swimmer,test\nInes Aalto,t400\n", 4, "no column time"),
        (b"swimmer,test,time\nInes Aalto,t400,\n", 4, "holds no time"),
        (b"swimmer,test,time,colour\nInes Aalto,t400,6:40,red\n", 4, "no column is called 'colour'"),
        (b"swimmer,test,time,time\nInes Aalto,t400,6:40,\n", 4, "names 'time' twice"),
        (b"swimmer,test,time\n,t400,6:40\n", 4, "without a swimmer"),
        (b"swimmer,test,time\nInes Alto,t400,6:40\n", 2, "did you mean Ines Aalto"),
    ],
)
def test_a_bad_sheet_is_refused_with_a_reason(squad: Cli, data: bytes, code: int, said: str) -> None:
    ran = squad("log", "--table", "-", stdin=data)
    assert (ran.code, ran.out) == (code, "")
    assert said in ran.err


def test_sheet_and_table_stand_alone(squad: Cli) -> None:
    for words in (
        ["--sheet", "css", "--table", "x"],
        ["Ines Aalto", "css", "6:40", "--sheet", "css"],
        ["Ines Aalto"],
        [],
    ):
        assert squad("log", *words).code == 2


def test_the_board_shows_what_waits(ines: Cli) -> None:
    assert (
        ines("fault", "Ines Aalto", "open", "breath-late", "--date", "2026-06-01", "--severity", "2").code
        == 0
    )
    assert ines("drill", "Ines Aalto", "start", "side kick", "--fault", "breath-late").code == 0
    rows = ines("board").out.splitlines()
    assert rows[1].split("\t") == [
        "open",
        "Ines Aalto",
        "breath-late",
        "2",
        "2026-06-01",
        "29",
        "drill side kick",
        "",
    ]
    assert ines("board", "--group", "Nobody", "--json").json["faults"] == []


def test_each_swimmers_usual_pool_is_taken_for_an_empty_course(ines: Cli, home: Path) -> None:
    assert ines("swimmer", "add", "Bo Dahl").code == 0
    for name, course in (("Ines Aalto", "SCM"), ("Bo Dahl", "LCM")):
        for day in ("01", "02"):
            log = ("log", name, "t400", "6:40", "--date", f"2026-06-{day}", "--course", course)
            assert ines(*log).code == 0
    assert ines("log", "Bo Dahl", "t400", "7:20", "--date", "2026-06-08", "--course", "OW").code == 0
    (home / "sheet.csv").write_text(
        "swimmer,test,date,time 400\nInes Aalto,t400,2026-06-15,6:41\nBo Dahl,t400,2026-06-15,6:42\n"
    )
    ran = ines("log", "--table", "sheet.csv")
    assert " SCM in 6:41" in ran.out
    assert " LCM in 6:42" in ran.out
    assert "course: Bo Dahl: LCM, the usual pool, is taken, but the last swim was OW" in ran.err
    assert "course: Ines" not in ran.err
