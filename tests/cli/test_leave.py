"""Somebody left alone until a date is left alone everywhere, until that day."""

from __future__ import annotations

import datetime as dt

import pytest

from tests.cli.conftest import Cli

FIRST = dt.date(2026, 1, 5)


@pytest.fixture
def club(ines: Cli) -> Cli:
    """Ines on a plateau for half a year, her last test twelve days ago."""
    for week in range(24):
        day = FIRST + dt.timedelta(weeks=week)
        time = f"6:4{week % 3}.{week % 7}"
        assert ines("log", "Ines Aalto", "t400", time, "--date", day.isoformat()).code == 0
    return ines


def line(club: Cli, *words: str):
    (found,) = club("scan", "--json", *words).json["swimmers"]
    return found


def test_left_alone_until_the_day_and_then_asked_for_again(club: Cli) -> None:
    before = line(club)
    assert before["due"]["test"] <= "2026-06-30"
    assert "plateau" in before["verdict"]
    ran = club("leave", "aalto", "--until", "2026-07-10", "--reason", "exams")
    assert (ran.code, ran.out) == (0, "Ines Aalto: left alone until 2026-07-10 (Maud): exams\n")
    assert "left alone until a date" in club("scan").err
    assert "nothing due" in club("scan").err
    left = line(club)
    assert left["verdict"] == before["verdict"]
    assert left["due"]["test"] == "2026-07-10"
    assert "10 July" in club("next", "Ines Aalto").out
    after = club("scan", "--as-of", "2026-07-10").err
    assert "left alone" not in after
    assert "one test" in after.lower()


def test_a_test_alone_is_put_off_without_a_reason(club: Cli) -> None:
    assert club("leave", "Ines Aalto", "--what", "test", "--until", "2026-07-10").code == 0
    assert line(club)["due"]["test"] == "2026-07-10"
    assert "One new plateau" in club("scan").err


def test_the_last_word_counts_and_today_ends_it(club: Cli) -> None:
    club("leave", "Ines Aalto", "--until", "2026-07-10", "--reason", "exams")
    ran = club("leave", "Ines Aalto", "--until", "2026-06-30")
    assert ran.out == "Ines Aalto: everything is asked for again (Maud)\n"
    assert line(club)["due"]["test"] <= "2026-06-30"
    assert club("leave", "--json").json["left"] == []
    club("undo")
    (one,) = club("leave", "--json").json["left"]
    assert (one["swimmer"], one["until"], one["reason"], one["what"]) == (
        "Ines Aalto", "2026-07-10", "exams", None,
    )  # fmt: skip


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("Ines Aalto", "--until", "2026-06-01", "--reason", "x"), "until: '2026-06-01' is over"),
        (("Ines Aalto", "--until", "soon", "--reason", "x"), "until: 'soon' is not a date"),
        (("Ines Aalto", "--until", "2026-07-10"), "reason: is missing"),
        (("Ines Aalto", "--reason", "x"), "until: is missing"),
        (("Ines Aalto", "--until", "2026-07-10", "--what", "race"), "what: 'race' is none; test, look"),
        (("--until", "2026-07-10"), "say who is to be left"),
        (("Nobody", "--until", "2026-07-10", "--reason", "x"), "no swimmer is called 'Nobody'"),
    ],
)
def test_what_cannot_be_taken_is_refused_and_stores_nothing(ines: Cli, words, said: str) -> None:
    ran = ines("leave", *words)
    assert (ran.code, said in ran.err) == (2, True), ran.err
    assert ines("leave", "--json").json["left"] == []


def test_several_at_once_are_one_change_and_travel_with_the_club(ines: Cli, tmp_path) -> None:
    ines("swimmer", "add", "Bo Lind")
    ran = ines("leave", "ines", "lind", "--until", "2026-07-10", "--reason", "camp; =1+1")
    assert len(ran.out.splitlines()) == 2
    assert ines("export", str(tmp_path / "club")).code == 0
    assert ines("--db", str(tmp_path / "other.db"), "import", str(tmp_path / "club")).code == 0
    there = ines("--db", str(tmp_path / "other.db"), "leave", "--json").json["left"]
    assert [(one["swimmer"], one["reason"]) for one in there] == [
        ("Bo Lind", "camp; =1+1"), ("Ines Aalto", "camp; =1+1"),
    ]  # fmt: skip
    assert ines("undo").code == 0
    assert ines("leave", "--json").json["left"] == []


def test_a_scan_says_first_what_needs_somebody_with_a_command_each(club: Cli) -> None:
    ran = club("scan")
    assert ran.out.startswith("swimmer\t")  # a script reads the table alone
    said = ran.err.splitlines()
    assert said[0].endswith("need somebody, in 1 swimmer.")
    assert "Ines Aalto: new plateau, with no fault on record for it; test due; look due" in said[1]
    assert said[1].endswith("[seen 'Ines Aalto']")
    lines = club("scan", "--json").json["monday"]
    assert [(one["matter"], one["accept"]) for one in lines] == [
        ("verdict", "seen 'Ines Aalto'"),
        ("test", "log 'Ines Aalto'"),
        ("look", "review 'Ines Aalto'"),
    ]
    assert club("seen", "Ines Aalto").code == 0
    assert [one["matter"] for one in club("scan", "--json").json["monday"]] == ["test", "look"]
    club("leave", "Ines Aalto", "--until", "2026-07-10", "--reason", "exams")
    assert club("scan", "--json").json["monday"] == []
    assert "Nothing needs anybody" in club("scan").err
    assert "needs" not in club("scan", "--quiet").err
