"""Listing, correcting, deleting and deciding on swims; own test definitions."""

from __future__ import annotations

import pytest

from tests.cli.conftest import Cli


@pytest.fixture
def swum(ines: Cli) -> Cli:
    assert ines("log", "Ines Aalto", "t400", "6:40", "--date", "2026-06-20").code == 0
    assert ines("log", "Ines Aalto", "t400", "2:30", "--date", "2026-06-21", "--accept-implausible").code == 0
    return ines


def _swims(cli: Cli) -> list[dict[str, object]]:
    swims: list[dict[str, object]] = cli("swims", "Ines Aalto", "--json").json["swims"]
    return swims


def test_swims_are_listed_a_line_each_with_what_is_doubtful(swum: Cli) -> None:
    header, first, second = swum("swims", "Ines Aalto").out.splitlines()
    assert header.split("\t")[:4] == ["id", "date", "test", "distance"]
    assert first.split("\t") == [
        "1", "2026-06-20", "t400", "400 m", "SCM", "6:40", "1:40.0", "", "yes", ""
    ]  # fmt: skip
    assert "yes (accepted)" in second
    assert "faster than anybody swims" in second
    assert len(swum("swims", "Ines Aalto", "--doubtful").out.splitlines()) == 2
    assert len(swum("swims", "Ines Aalto", "--as-of", "2026-06-20").out.splitlines()) == 2


def test_a_swim_is_corrected_and_the_change_can_be_undone(swum: Cli) -> None:
    assert swum("swim", "edit", "1", "--time", "6:45", "--rate", "60spm").code == 0
    assert (_swims(swum)[0]["time_s"], _swims(swum)[0]["rate_cpm"]) == (405.0, 30.0)
    assert swum("undo").out == "undo: edit swim 1 of Ines Aalto\n"
    assert (_swims(swum)[0]["time_s"], _swims(swum)[0]["rate_cpm"]) == (400.0, None)
    assert swum("redo").code == 0
    assert _swims(swum)[0]["time_s"] == 405.0


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (["edit", "1"], "nothing to change"),
        (["edit", "1", "--time", "x", "--effort", "0"], "is not a time"),
        (["edit", "1", "--time", "1:00"], "--accept-implausible"),
        (["edit", "1", "--date", "2027-01-01"], "has not come yet"),
        (["edit", "1", "--rate", "60"], "write 32cpm"),
        (["edit", "9", "--time", "6:40"], "no swim has the number 9"),
        (["edit", "one", "--time", "6:40"], "'one' is not a number"),
        (["edit", "1", "--distance", "400ft"], "'400ft' is no distance; write it as 400m or 400yd"),
        (
            ["edit", "1", "--test", "t30"],
            "t30 takes 30:00, and this took 6:40; correct time and distance too",
        ),
        (["edit", "1", "--test", "t200"], "t200 is 200 m, and this is 400 m; correct the distance too"),
        (["edit", "1", "--distance", "300"], "t400 is 400 m, and this is 300 m"),
        (["edit", "1", "--course", "SCY", "--distance", "400m"], "t400 is 400 yd, and this is 437.45 yd"),
        (["edit", "1", "--test", "t401"], "no test is called 't401'"),
        (["delete", "1"], "say so with --yes"),
        (["aside", "1"], "give --reason"),
    ],
)
def test_what_cannot_be_done_changes_nothing(swum: Cli, words: list[str], said: str) -> None:
    before = _swims(swum)
    ran = swum("swim", *words)
    assert (ran.code, ran.out) == (2, "")
    assert said in ran.err
    assert _swims(swum) == before


def test_a_test_swum_in_yards_is_as_many_yards_as_metres(swum: Cli) -> None:
    """A yard is 0.9144 m, exact since 1959."""
    assert "400 yd SCY in 6:40" in swum("swim", "edit", "1", "--course", "SCY").out
    assert _swims(swum)[0]["distance_m"] == 365.76
    assert swum("swim", "edit", "1", "--time", "6:30").code == 0
    assert (
        "200 yd SCY"
        in swum("swim", "edit", "1", "--test", "T200", "--distance", "200yd", "--time", "3:05").out
    )
    assert _swims(swum)[0]["test"] == "t200"
    assert "200 m LCM" in swum("swim", "edit", "1", "--course", "LCM").out
    assert swum("swim", "edit", "1", "--test", "", "--distance", "150").code == 0
    assert swum("swim", "edit", "1", "--distance", "150 yd", "--json").json["distance_m"] == pytest.approx(
        137.16
    )
    assert swum("swim", "edit", "1", "--test", "t30", "--distance", "1480", "--time", "30:00").code == 0


def test_a_swim_is_deleted_when_that_is_meant(swum: Cli) -> None:
    assert swum("swim", "delete", "1", "--yes").out.startswith("deleted 1: Ines Aalto, t400 on 2026-06-20")
    assert [swim["id"] for swim in _swims(swum)] == [2]


def test_a_person_decides_whether_a_swim_counts(swum: Cli) -> None:
    assert swum("swim", "aside", "1", "--reason", "one length too few").code == 0
    aside = _swims(swum)[0]
    assert (aside["counts"], aside["decision"], aside["note"]) == (
        False,
        "aside",
        "aside: one length too few",
    )
    assert swum("swim", "keep", "1").code == 0
    assert _swims(swum)[0]["counts"] is True


def test_own_tests_are_added_listed_and_swum(ines: Cli) -> None:
    assert ines("test", "add", "lake-750", "--distances", "750", "--name", "round the buoys").code == 0
    assert ines("test", "add", "t20", "--kind", "duration", "--duration", "20:00").code == 0
    listed = {one["test"]: one for one in ines("test", "list", "--json").json["tests"]}
    assert listed["t20"]["duration_s"] == 1200.0
    assert list(listed)[:7] == ["css", "t200", "t400", "t1000", "t1500", "t30", "reps"]
    assert "750 m OW in 12:30" in ines("log", "Ines Aalto", "lake-750", "12:30", "--course", "ow").out
    assert "1000 m SCM in 20:00" in ines("log", "Ines Aalto", "t20", "1000m").out


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (["css", "--distances", "400"], "is there already"),
        (["X y", "--distances", "400"], "is not a short name"),
        (["t9"], "distances: is missing"),
        (["t9", "--kind", "duration"], "duration: is missing; write it as 20:00"),
        (["t9", "--kind", "sprint", "--distances", "a"], "is none of 'distances', 'duration', 'repeats'"),
        (["t9", "--duration", "x"], "duration: 'x' is not a time"),
    ],
)
def test_a_test_that_makes_no_sense_is_refused(ines: Cli, words: list[str], said: str) -> None:
    ran = ines("test", "add", *words)
    assert ran.code == 2
    assert said in ran.err


def test_tests_are_listed_before_there_is_a_database(cli: Cli) -> None:
    assert len(cli("test", "list").out.splitlines()) == 8
