"""Whose the numbers are that a verdict, a fault, a page and the manual use."""

from __future__ import annotations

from pathlib import Path

from tests.cli.conftest import Cli
from tracker.model.sources import sources

LOGGED = [(week, "SCM" if week % 2 else "LCM", 400 if week % 3 else 200) for week in range(14)]


def a_season(ines: Cli) -> None:
    """Fourteen weekly tests in two pools over two distances, one of them tapered, and a high head."""
    for week, course, distance in LOGGED:
        day = f"2026-{3 + week // 4:02}-{1 + 7 * (week % 4):02}"
        words = ["log", "Ines Aalto", f"t{distance}", "6:40" if distance == 400 else "3:10", "--date", day]
        assert ines(*words, "--course", course, *(["--taper", "yes"] if week == 9 else [])).code == 0
    opened = ("fault", "Ines Aalto", "open", "head-high", "--date", "2026-03-01", "--by", "Maud")
    assert ines(*opened).code == 0


def test_why_names_the_numbers_from_outside_that_this_verdict_uses_and_no_others(ines: Cli) -> None:
    a_season(ines)
    plain = ines("why", "Ines Aalto").out
    assert "Wolfrum" not in plain
    found = ines("why", "Ines Aalto", "--sources").out
    assert found.startswith(plain)
    assert "Wolfrum et al. 2013, SpringerPlus 2:643: national and international racers" in found
    assert "pace for each e-fold of distance, between the records' 4.98 and pairs' 7.4: 6.5 %" in found
    assert "a tapered test: 1.5, 1.5 %, mean and sd (an assumption, argued from Mujika" in found
    assert "Cortesi & Gatta 2015, J Hum Kinet 49:37-45, doi 10.1515/hukin-2015-0106, PMC4723180" in found
    assert "de Lucas" not in found
    assert "Bongard" not in found


def test_why_has_them_as_json_only_where_asked(ines: Cli) -> None:
    a_season(ines)
    plain = ines("why", "Ines Aalto", "--json").json
    found = ines("why", "Ines Aalto", "--json", "--sources").json
    assert {key: found[key] for key in plain} == plain
    assert set(found) - set(plain) == {"numbers", "sources"}
    band = next(one for one in found["numbers"] if one["at"] == "settings:Settings.band")
    assert (band["value"], band["basis"]) == ([0.25], "practice")
    assert "wolfrum-2013" in {one["id"] for one in found["sources"]}


def test_a_swimmer_without_tests_rests_on_nothing(ines: Cli) -> None:
    assert "It rests on the swimmer's own tests alone." in ines("why", "Ines Aalto", "--sources").out


def test_a_fault_shows_whose_its_figures_are(cli: Cli) -> None:
    found = cli("fault", "list", "head-high").out
    assert "source: Zamparo & Falco 2010: 21 women who play water polo, head out; its abstract" in found
    listed = cli("fault", "list", "head-high", "--json").json
    assert listed["faults"][0]["sources"] == [one["id"] for one in listed["sources"]]
    assert "sources" not in cli("fault", "list", "--json").json
    assert "source:" not in cli("fault", "list", "hips-loose").out


def test_the_manual_prints_every_source(cli: Cli) -> None:
    page = cli("manual").out
    assert ".SH SOURCES" in page
    for one in sources().values():
        assert one.cite.replace("-", "\\-").replace("'", "\\(aq") in page


def test_the_page_names_them_behind(ines: Cli, home: Path) -> None:
    a_season(ines)
    assert ines("page", "Ines Aalto", "--month", "2026-06", "--format", "txt", "--out", "out").code == 0
    page = " ".join("".join(file.read_text("utf-8") for file in (home / "out").glob("*.txt")).split())
    assert "Figures from outside: " in page
    assert "Wolfrum et al. 2013" in page
    assert "Cortesi & Gatta 2015" in page
