"""What was told is kept as it was told; `changes` and `revisions` say what became of it. The user's way."""

from __future__ import annotations

import csv
import datetime as dt
from collections.abc import Callable
from pathlib import Path

import pytest

from tests.builders import START, a_season
from tests.cli.conftest import Cli
from tracker.model.units import format_time

ADA = "Ada Fjord"
LEVELLED = [(8.0, 0.9), (9.0, 0.0)]
"""Percent a month: gaining for eight months, then level for nine."""
RISING = [(17.0, 0.9)]
Season = Callable[[list[tuple[float, float]]], None]


def swims(rates: list[tuple[float, float]], until: dt.date) -> list[tuple[str, str]]:
    """Return day and time of a 400 m test every two weeks, up to a day."""
    days, paces = a_season(rates, seed=5, noise=0.5, every_days=14)
    dated = [(START + dt.timedelta(days=days_), pace) for days_, pace in zip(days, paces, strict=True)]
    return [(date.isoformat(), format_time(round(4 * pace, 2))) for date, pace in dated if date <= until]


def write_swims(rows: list[tuple[str, str]]) -> None:
    with Path("swims.csv").open("w", newline="") as stream:
        csv.writer(stream).writerows(
            [("date", "swimmer", "test", "distance_m", "time", "course")]
            + [(date, ADA, "t400", "400", time, "SCM") for date, time in rows]
        )


@pytest.fixture
def ada(cli: Cli) -> Cli:
    """The commands, over a record of Ada, who gained until September 2025 and is level up to 31 May."""
    write_swims(swims(LEVELLED, dt.date(2026, 5, 31)))
    assert cli("import", "swims.csv").code == 0
    return cli


@pytest.fixture
def on(monkeypatch: pytest.MonkeyPatch) -> Callable[[str], None]:
    """Set the day."""
    return lambda day: monkeypatch.setenv("SLACKWATER_TODAY", day)


@pytest.fixture
def by(monkeypatch: pytest.MonkeyPatch) -> Callable[[str], None]:
    """Set who it is."""
    return lambda who: monkeypatch.setenv("SLACKWATER_WHO", who)


def told(cli: Cli) -> list[dict[str, str]]:
    """Return the rows of told.csv."""
    assert cli("export", "out", "--force").code == 0
    with Path("out/told.csv").open(newline="", encoding="utf-8") as stream:
        return list(csv.DictReader(stream))


def page(cli: Cli, month: str = "2026-05", *more: str) -> None:
    ran = cli("page", "--all", "--month", month, "--format", "txt", "--out", "pages", *more)
    assert ran.code == 0, ran.err


def test_a_page_a_summary_and_a_look_keep_what_they_told(ada: Cli) -> None:
    assert told(ada) == []
    page(ada)
    page(ada, "2026-05", "--roster")
    assert ada("seen", ADA).code == 0
    rows = told(ada)
    assert [(row["where"], row["date"], row["who"]) for row in rows] == [
        ("page", "2026-05-31", "Maud"),
        ("summary", "2026-05-31", "Maud"),
        ("seen", "2026-06-30", "Maud"),
    ]
    assert list(rows[0]) == ["date", "swimmer", "verdict", "p", "since", "link", "where", "who"]
    assert {(row["swimmer"], row["verdict"]) for row in rows} == {(ADA, "plateau")}
    said = ada("why", ADA, "--as-of", "2026-05-31", "--json").json
    assert float(rows[0]["p"]) == pytest.approx(said["p_flat"], abs=1e-4)
    assert rows[0]["since"] == said["since"]


def test_what_is_only_printed_is_not_told(ada: Cli) -> None:
    for words in (["scan"], ["why", ADA], ["next", ADA], ["changes"], ["revisions"]):
        assert ada(*words).code == 0
    assert told(ada) == []


def test_one_word_is_kept_once_a_day_and_another_word_beside_it(ada: Cli) -> None:
    page(ada)
    page(ada)
    assert ada("seen", ADA).code == ada("seen", "--all").code == 0
    assert [(row["where"], row["verdict"]) for row in told(ada)] == [("page", "plateau"), ("seen", "plateau")]
    make_rising(ada)
    page(ada)
    assert [(row["where"], row["verdict"]) for row in told(ada)] == [
        ("page", "plateau"),
        ("page", "gaining"),
        ("seen", "plateau"),
    ]


def make_rising(cli: Cli) -> None:
    """Correct the times since August: she gained all the while."""
    right = dict(swims(RISING, dt.date(2026, 5, 31)))
    for swim in cli("swims", ADA, "--json").json["swims"]:
        if swim["date"] >= "2025-08-15":
            words = ["swim", "edit", str(swim["id"]), "--time", right[swim["date"]]]
            ran = cli(*words, "--accept-implausible")
            assert ran.code == 0, ran.err


def test_corrected_tests_revise_a_word_and_are_named_but_what_was_told_stays(ada: Cli) -> None:
    page(ada)
    before = told(ada)
    make_rising(ada)
    (found,) = ada("changes", "--json").json["words"]
    assert (found["change"], found["now"]["verdict"]) == ("revised", "gaining")
    assert {test["change"] for test in found["tests"]} == {"corrected"}
    assert all(test["was_s"] != test["now_s"] for test in found["tests"])
    said = ada("changes").out
    assert said.startswith(
        "Revised: what was told does not hold for its own day\n  Ada Fjord: said to be on a"
    )
    assert "(page to 31 May); it now looks gaining since" in said
    assert " tests corrected, of " in said
    assert told(ada) == before


def test_tests_entered_late_and_deleted_are_named(ada: Cli) -> None:
    page(ada)
    make_rising(ada)
    last = ada("swims", ADA, "--json").json["swims"]
    number = max(last, key=lambda swim: swim["date"])["id"]
    assert ada("swim", "delete", str(number), "--yes").code == 0
    assert ada("log", ADA, "t400", "6:03", "--date", "2026-05-29", "--accept-implausible").code == 0
    (found,) = ada("changes", "--json").json["words"]
    kinds = [test["change"] for test in found["tests"]]
    assert kinds.count("deleted") == kinds.count("added late") == 1
    assert "1 test entered late, of 29 May" in found["sentence"]
    assert "1 test deleted, of 25 May" in found["sentence"]


def test_a_word_that_changed_since_moved_on_by_new_tests(ada: Cli, on: Callable[[str], None]) -> None:
    on("2025-08-20")
    page(ada, "2025-07")
    assert [row["verdict"] for row in told(ada)] == ["gaining"]
    on("2026-06-30")
    (found,) = ada("changes", "--json").json["words"]
    assert (found["change"], found["tests"]) == ("moved on", [])
    assert found["new_tests"][0] == "2025-08-04"
    assert "none of before was added or changed." in found["sentence"]


def test_the_same_word_is_no_change_and_its_new_tests_are_a_line(ada: Cli, on: Callable[[str], None]) -> None:
    on("2026-05-20")
    page(ada)
    on("2026-05-31")
    found = ada("changes", "--json").json
    assert (found["words"], found["since"]) == ([], None)
    assert [one["days"] for one in found["tests"]] == [["2026-05-25"]]
    assert "Ada Fjord: 1 new test (25 May); still on a plateau, " in ada("changes").out


def test_faults_and_what_fell_due_are_said(ada: Cli, on: Callable[[str], None]) -> None:
    on("2026-05-20")
    page(ada)
    on("2026-06-30")
    assert ada("review", ADA, "--fault", "breath-late:left", "--date", "2026-05-26").code == 0
    said = ada("changes").out
    assert "Faults\n  Ada Fjord: breath comes late, left, opened 26 May.\n" in said
    assert "Fell due\n  Ada Fjord: test due since 8 June, look due since 23 June.\n" in said


def test_nothing_told_is_said_and_is_no_failure(ada: Cli) -> None:
    ran = ada("changes")
    assert (ran.code, ran.out) == (0, "")
    assert (
        ran.err
        == "Nothing was told yet, so nothing can differ from it. 'page' and 'seen' keep what they tell.\n"
    )
    assert ada("revisions").out == "No word was told yet.\n"


def test_two_coaches_who_were_told_other_words_are_told_each_what_changed_for_them(
    ada: Cli, on: Callable[[str], None], by: Callable[[str], None]
) -> None:
    on("2025-08-20")
    assert ada("seen", ADA).code == 0
    on("2026-05-31")
    by("Teo")
    assert ada("seen", ADA).code == 0
    on("2026-06-30")
    assert ada("changes", "--since", "last", "--json").json["words"] == []
    by("Maud")
    (mine,) = ada("changes", "--since", "last", "--json").json["words"]
    assert [one["who"] for one in mine["told"]] == ["Maud"]
    (either,) = ada("changes", "--json").json["words"]
    assert "seen by Maud on 20 August 2025" in either["sentence"]
    by("Bo")
    ran = ada("changes", "--since", "last")
    assert (ran.code, ran.err) == (2, "error: Bo has marked nothing as seen yet; give a day instead\n")


def test_a_day_that_is_none_is_refused(ada: Cli) -> None:
    ran = ada("changes", "--since", "soon")
    assert (ran.code, ran.err.count("\n")) == (2, 1)
    assert "'last'" in ran.err


def test_a_clock_that_went_back_is_said(ada: Cli, on: Callable[[str], None]) -> None:
    assert ada("seen", ADA).code == 0
    on("2026-06-01")
    ran = ada("changes")
    assert ran.code == 0
    assert "warning: 1 word told of days still to come, from 30 June on, left out: today is 1 June" in ran.err
    assert [one["date"] for one in ada("changes", "--json").json["still_to_come"]] == ["2026-06-30"]
    assert ada("revisions").code == 0


def test_seen_all_marks_the_roster_or_a_group(ada: Cli) -> None:
    assert ada("swimmer", "edit", ADA, "--group", "Masters").code == 0
    assert ada("seen", "--all", "--group", "Masters").out == "1 verdict marked as seen\n"
    found = ada("seen", "--all", "--json").json
    assert found["all"] == [{"swimmer": ADA, "seen": "plateau"}]
    assert len(told(ada)) == 1
    for words in ([], [ADA, "--all"], [ADA, "--group", "Masters"], ["--all", "--group", "Mastrs"]):
        ran = ada("seen", *words)
        assert (ran.code, ran.err.count("\n")) == (2, 1), words


def test_undo_takes_back_what_was_told_and_redo_brings_it(ada: Cli) -> None:
    page(ada)
    rows = told(ada)
    assert ada("undo").out == "undo: keep what 1 page of May 2026 told\n"
    assert told(ada) == []
    assert ada("redo").code == 0
    assert told(ada) == rows


def test_who_is_erased_goes_from_what_was_told(ada: Cli) -> None:
    page(ada)
    shown = ada("swimmer", "export", ADA, "hers")
    assert shown.code == 0
    assert (Path("hers") / "told.csv").read_text().count(ADA) == 1
    assert "words told" in ada("swimmer", "erase", ADA, "--dry-run").out
    assert ada("swimmer", "erase", ADA, "--yes").code == 0
    assert told(ada) == []
    assert ada("changes").code == 0


def test_an_older_copy_brings_back_what_had_been_told_by_then(ada: Cli) -> None:
    page(ada)
    rows = told(ada)
    assert ada("backup", "copy.db").code == 0
    assert ada("seen", ADA).code == 0
    assert ada("restore", "copy.db", "--yes").code == 0
    assert told(ada) == rows
    assert ada("changes").code == 0


def test_what_was_told_comes_back_by_import_to_the_same_bytes(
    ada: Cli, monkeypatch: pytest.MonkeyPatch
) -> None:
    page(ada)
    assert ada("seen", ADA).code == 0
    told(ada)
    monkeypatch.setenv("SLACKWATER_DB", "other.db")
    assert ada("import", "out").code == 0
    assert ada("export", "again").code == 0
    for file in Path("out").iterdir():
        assert file.read_bytes() == (Path("again") / file.name).read_bytes(), file.name
    assert ada("changes").code == 0, "the history of before is not there"


def test_a_word_that_is_none_is_refused_by_import(ada: Cli) -> None:
    Path("told.csv").write_text("date,swimmer,verdict,where\n2026-05-31,Ada Fjord,flat,page\n")
    ran = ada("import", "told.csv")
    assert ran.code != 0
    assert "'flat' is no verdict; it is one of gaining, plateau" in ran.out + ran.err


def test_revisions_count_words_and_what_the_next_month_said(ada: Cli, on: Callable[[str], None]) -> None:
    for day, month in (("2025-07-31", "2025-07"), ("2026-04-30", "2026-04")):
        on(day)
        page(ada, month)
    on("2026-06-30")
    found = ada("revisions", "--json").json
    assert [(one["verdict"], one["told"], one["revised"]) for one in found["words"]] == [
        ("gaining", 1, 0),
        ("plateau", 1, 0),
    ]
    assert found["all"]["month_later"] == {"compared": 2, "agreed": 2, "otherwise": 0, "unsure": 0}
    make_rising(ada)
    after = ada("revisions", "--json").json
    assert [(one["verdict"], one["revised"]) for one in after["words"]] == [("gaining", 0), ("plateau", 1)]
    assert after["all"]["month_later"]["otherwise"] == 1
    said = ada("revisions").out
    assert "Plateau: told 1 time of 1 swimmer; revised since: 1 of 1 (too few for a rate).\n" in said
