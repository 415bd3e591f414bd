"""What a new test did, best times and the story, as the commands say them."""

from __future__ import annotations

import datetime as dt
import itertools
from pathlib import Path
from typing import Any

import pytest

from tests.builders import START, a_season, a_step, a_swim
from tests.cli.conftest import Cli
from tracker.model.swimmer import Swimmer
from tracker.store.database import Store

ADA = "Ada Fjord"
AT = dt.datetime(2026, 2, 10, 9, 0, tzinfo=dt.UTC)
DATABASE = Path(".local/share/slackwater/slackwater.db")


def a_record(home: Path, rates: list[tuple[float, float]], *more: Any) -> dt.date:
    """Write a season of Ada's and return the day of the last test."""
    (home / DATABASE).parent.mkdir(parents=True, exist_ok=True)
    days, paces = a_season(rates, seed=4, noise=0.8)
    store = Store.open(home / DATABASE)
    with store.write(who="test", what="fill", at=AT) as writer:
        writer.add([Swimmer(swimmer=ADA)])
        swims = [a_swim(day, round(4 * pace, 1)) for day, pace in zip(days, paces, strict=True)]
        writer.add([*swims])
        writer.add([*more])
    store.close()
    return START + dt.timedelta(days=days[-1])


def test_the_first_test_is_said_to_be_one_without_numbers_that_are_not_there(ines: Cli) -> None:
    ran = ines("log", "Ines Aalto", "t400", "6:40")
    assert ran.out.splitlines()[1:] == ["First 400 m SCM on record; test 1 of the 8 that a word needs."]
    did = ines("log", "Ines Aalto", "t400", "6:38", "--date", "2026-06-29", "--json").json["did"]
    assert did["best"] == [{"distance_m": 400.0, "best_yet": False, "earlier": 0, "since": None}]
    assert (did["above_line_pct"], did["word"], did["p_before"], did["p_after"]) == (None,) * 4


def test_a_best_time_and_a_best_in_months(ines: Cli) -> None:
    for day, time in (("2025-04-01", "6:30"), ("2025-11-01", "6:50"), ("2026-03-01", "6:45")):
        assert ines("log", "Ines Aalto", "t400", time, "--date", day).code == 0
    assert "Best in 14 months;" in ines("log", "Ines Aalto", "t400", "6:40", "--date", "2026-05-30").out
    assert "Best yet, by 1.5 s;" in ines("log", "Ines Aalto", "t400", "6:28.5").out
    pair = ines("log", "Ines Aalto", "css", "6:35", "3:05", "--date", "2026-06-29").out
    assert "400 m SCM: best in 15 months; first 200 m SCM on record" in pair


def test_a_test_says_what_it_did_to_the_line_and_the_word(cli: Cli, home: Path) -> None:
    last = a_record(home, [(10.0, 0.8)])
    day = (last + dt.timedelta(days=7)).isoformat()
    now = ("--as-of", day)
    before = cli("why", ADA, *now, "--json").json
    ran = cli("log", ADA, "t400", "6:15", *now, "--json")
    did = ran.json["did"]
    after = cli("why", ADA, *now, "--json").json
    assert before["verdict"] == after["verdict"] == did["word"] == "gaining"
    assert did["p_before"] == pytest.approx(before["p_gaining"], abs=1e-3)
    assert did["p_after"] == pytest.approx(after["p_gaining"], abs=1e-3)
    assert did["above_line_pct"] is not None
    assert did["scatters"] == pytest.approx(did["above_line_pct"] / after["noise_pct"], abs=0.01)
    said = f"gaining {did['p_before']:.2f} -> {did['p_after']:.2f}."
    assert did["sentence"].endswith(said)
    assert "your line (" in did["sentence"]


def test_a_time_far_off_the_line_is_no_best_time(cli: Cli, home: Path) -> None:
    last = a_record(home, [(10.0, 0.8)])
    day = (last + dt.timedelta(days=7)).isoformat()
    ran = cli("log", ADA, "t400", "5:00", "--as-of", day, "--accept-implausible")
    assert "does not count: no best time" in ran.out
    assert "5:00" not in cli("swims", ADA, "--best", "--as-of", day).out


def test_a_late_entry_is_weighed_among_the_earlier_ones_alone(cli: Cli, home: Path) -> None:
    last = a_record(home, [(10.0, 0.8)])
    early = (START + dt.timedelta(days=3)).isoformat()
    did = cli("log", ADA, "t400", "6:59", "--date", early, "--as-of", last.isoformat(), "--json").json["did"]
    assert did["best"][0]["earlier"] == 1
    assert did["word"] is None


def test_best_times_by_course_with_the_season_named(ines: Cli) -> None:
    assert ines("swims", "Ines Aalto", "--best").out == "No time that counts is on record yet.\n"
    for day, time, course in (
        ("2025-08-01", "6:30", "SCM"),
        ("2026-03-01", "6:45", "SCM"),
        ("2026-03-02", "6:50", "LCM"),
    ):
        ines("log", "Ines Aalto", "t400", time, "--date", day, "--course", course)
    ran = ines("swims", "Ines Aalto", "--best")
    assert "since September 2025" in ran.out
    found = ines("swims", "Ines Aalto", "--best", "--json").json
    assert (found["schema"], found["season"]) == (1, "2025-09-01")
    assert [(b["course"], b["ever"]["time_s"], b["season"]["time_s"]) for b in found["best"]] == [
        ("LCM", 410.0, 410.0),
        ("SCM", 390.0, 405.0),
    ]
    assert ines("config", "set", "season_month", "4").code == 0
    found = ines("swims", "Ines Aalto", "--best", "--json").json
    assert (found["season"], found["best"][1]["season"]) == ("2026-04-01", None)
    assert ines("swims", "Ines Aalto", "--best", "--doubtful").code == 2


def test_why_tells_the_story_whatever_the_word(cli: Cli, home: Path) -> None:
    last = a_record(home, [(8.0, 1.0), (8.0, 0.0)], a_step(200, "open", severity=2))
    ran = cli("why", ADA, "--as-of", last.isoformat())
    told = ran.out.split("The story so far\n")[1].split("\n\n")[0].splitlines()
    assert told[0].startswith("  From the first test (")
    assert "level" in told[-1]
    assert "Left uncorrected when it" in told[-1]
    found = cli("why", ADA, "--as-of", last.isoformat(), "--json").json
    story = found["story"]
    assert [span["current"] for span in story] == [False] * (len(story) - 1) + [True]
    assert story[-1]["word"] == found["verdict"] == "plateau"
    assert story[-1]["start"] == found["since"]
    assert story[-1]["link"] == found["link"]
    assert all(one["end"] == other["start"] for one, other in itertools.pairwise(story))
    assert found["word_record"]["words"] >= 30
    assert found["word_record"]["sentence"] in ran.out


def test_a_slip_has_a_link_and_three_questions(cli: Cli, home: Path) -> None:
    last = a_record(home, [(8.0, 1.0), (6.0, -1.2)], a_step(200, "open", severity=2))
    found = cli("why", ADA, "--as-of", last.isoformat(), "--json").json
    assert found["verdict"] == "slipping"
    assert found["link"]["fault"] == "breath-late"
    asked = cli("why", ADA, "--as-of", last.isoformat()).out.split("Ask the swimmer\n")[1].split("\n\n")[0]
    assert len(asked.splitlines()) == 3
