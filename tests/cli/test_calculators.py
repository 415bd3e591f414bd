"""The calculators: no database, check values as in tests/model, bad numbers refused together."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.cli.conftest import Cli


def test_css_is_printed_with_its_interval_and_distances(cli: Cli, home: Path) -> None:
    ran = cli("css", "6:40", "3:10")
    assert ran.out.startswith(
        "CSS 1:45.0 per 100 m (90 % interval 1:39.5 to 1:50.5, at 1.5 % a trial, assumed), from "
    )
    assert "400 m in 6:40 and 200 m in 3:10" in ran.out
    assert "D' 19.0 m" in ran.out
    assert "r2" not in ran.out
    assert list(home.iterdir()) == []


def test_css_of_more_distances_has_a_fit(cli: Cli) -> None:
    words = ("0:21.8", "0:48.2", "1:46.6", "3:43.8", "--distances", "50,100,200,400")
    found = cli("css", *words, "--json").json
    assert found["css_speed"] == pytest.approx(1.724356, abs=5e-7)
    assert found["d_prime_m"] == pytest.approx(14.8919, abs=1e-3)
    assert found["r2"] == pytest.approx(0.999827, abs=1e-6)
    assert "r2 0.9998" in cli("css", *words).out


def test_critical_rate_comes_from_stroke_counts(cli: Cli) -> None:
    found = cli("css", "6:40", "3:10", "--strokes", "440,210", "--json").json
    assert found["critical_rate_cpm"] == pytest.approx(115 / 210 * 60, abs=1e-3)


def test_an_odd_pair_is_remarked_upon(cli: Cli) -> None:
    assert "unusual: the 400 took 2.010 times the 200" in cli("css", "6:42", "3:20").err


def test_pace_and_sets(cli: Cli) -> None:
    assert cli("pace", "6:40", "400").out == "1:40.0 per 100 m (1.0000 m/s)\n"
    # 90.0 s per 100 yd is 98.4252 s per 100 m by distance alone; the yard is 0.9144 m, exact since 1959.
    assert cli("pace", "1:30", "100yd", "--json").json["pace"] == pytest.approx(98.4252, abs=1e-3)
    rows = [line.split("\t") for line in cli("pace", "--css", "1:45").out.splitlines()]
    assert rows[2] == ["100 m", "1:45.0", "1:55", "2:05", "2:15"]
    assert cli("pace", "--css", "1:45", "--rest", "15", "--json").json["sets"][1]["send_offs_s"] == [120.0]


@pytest.mark.parametrize("words", [["pace", "26:40", "400"], ["pace", "--css", "6:30"]])
def test_what_is_slower_than_a_test_is_swum_is_worked_out_with_a_remark(cli: Cli, words: list[str]) -> None:
    ran = cli(*words)
    assert ran.code == 0
    assert "per 100 m is slower than 6:00" in ran.err
    assert ran.out


def test_stroke_takes_the_push_off_out(cli: Cli) -> None:
    found = cli("stroke", "25", "18", "26.0", "--push-off", "5", "--push-off-time", "2.5", "--json").json
    assert found["rate_cpm"] == pytest.approx(22.979, abs=5e-4)
    assert found["per_cycle_m"] == pytest.approx(2.2222, abs=5e-5)
    assert found["speed"] == pytest.approx(0.85106, abs=5e-6)
    assert found["estimated"] is False
    assert cli("stroke", "25", "18", "26.0").out.endswith("measure --push-off and --push-off-time\n")


def test_angle_of_three_points(cli: Cli) -> None:
    assert cli("angle", "0,0", "10,0", "10,10").out == "90.0 degrees\n"
    assert cli("angle", "-5,0", "0,0", "5,0", "--json").json["angle_deg"] == pytest.approx(180.0)


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (["css", "6:75", "nan"], ["'6:75' has 75 seconds", "'nan' is not a time"]),
        (["css", "3:10", "6:40"], ["check the times and their order"]),
        (["css", "6:40"], ["1 time for 2 distances"]),
        (["css", "6:40", "6:41", "--distances", "400,400"], ["two different distances"]),
        (["css", "6:40", "3:10", "--error", "-1"], ["--error: '-1' is not above zero"]),
        (["css", "-1:02", "3:10"], ["'-1:02' is negative"]),
        (["pace", "6:40"], ["give either TIME and DISTANCE"]),
        (["pace", "6:40", "400km"], ["is no distance"]),
        (["pace", "6:40", "0"], ["is no distance"]),
        (["pace", "--css", "x", "--rest", "-5"], ["'x' is not a time", "'-5' is not above zero"]),
        (["stroke", "25", "1_8", "0"], ["'1_8' is not a number", "between 0 and 100 hours"]),
        (["stroke", "5", "18", "26"], ["leaves nothing of 5 m"]),
        (["css", "7.20", "3.31"], ["'7.20' is 7.2 s", "did you mean 7:20?", "did you mean 3:31?"]),
        (["css", "6:40", "6:00"], ["a CSS that cannot be: 0:20.0 per 100 m is faster than anybody swims"]),
        (["css", "6:40", "3:10", "--strokes", "4400,210"], ["'4400' makes 660 strokes/min"]),
        (["pace", "--css", "1.45"], ["--css: '1.45' is 1.45 s", "did you mean 1:45?"]),
        (["pace", "30", "1480"], ["time: '30' is 30 s: 0:02.0 per 100 m is", "did you mean 30:00?"]),
        (["pace", "6.75", "400"], ["check the time and the distance"]),
        (["stroke", "25", "200", "27"], ["count: '200' makes 490 strokes/min", "(240)"]),
        (["stroke", "25", "18", "2.6"], ["check the time and the distance"]),
        (["angle", "0,0", "1", "a,b"], ["'1' is no point", "'a,b' is no point"]),
        (["angle", "1,1", "1,1", "2,2"], ["the same"]),
    ],
)
def test_bad_numbers_are_refused_together(cli: Cli, words: list[str], said: list[str]) -> None:
    ran = cli(*words)
    assert ran.code in {1, 2}
    assert ran.out == ""
    assert ran.err.count("\n") == 1
    assert all(part in ran.err for part in said)
