"""A swimmer is found by any part of the name, without accents or case, where it is one person."""

from __future__ import annotations

import time

import pytest

from tests.cli.conftest import Cli
from tracker.cli.wiring import Context
from tracker.model.text import fits, fitting

PEOPLE = ("Linh Nguyễn", "Sørlie Hansen", "Bo Lind", "Bo Lindqvist", "Aoife O’Connor", "Ashlee Moor")


@pytest.fixture
def club(cli: Cli) -> Cli:
    for name in PEOPLE:
        assert cli("swimmer", "add", name).code == 0
    return cli


@pytest.mark.parametrize(
    ("typed", "label"),
    [
        ("nguyen", "Linh Nguyễn"),
        ("LINH NGUYEN", "Linh Nguyễn"),
        ("nguyen linh", "Linh Nguyễn"),
        ("sorlie", "Sørlie Hansen"),
        ("han", "Sørlie Hansen"),
        ("oconnor", "Aoife O’Connor"),
        ("o'connor", "Aoife O’Connor"),
        ("Bo Lind", "Bo Lind"),
        ("bo lind", "Bo Lind"),
        ("qvist", "Bo Lindqvist"),
    ],
)
def test_a_name_is_found(club: Cli, typed: str, label: str) -> None:
    ran = club("swimmer", "show", typed)
    assert ran.code == 0, ran.err
    assert label in ran.out


def test_every_name_of_the_command_line_is_found(club: Cli) -> None:
    for words in (
        ("log", "nguyen", "t400", "6:40", "--date", "2026-06-01"),
        ("event", "nguyen", "race", "--from", "2026-06-01"),
        ("review", "nguyen", "--score", "breathing=2"),
        ("fault", "nguyen", "open", "breath-late", "--side", "left"),
        ("cue", "nguyen", "start", "long neck"),
        ("why", "nguyen"),
        ("next", "nguyen"),
        ("history", "nguyen", "--json"),
    ):
        ran = club(*words)
        assert (ran.code, "Linh Nguyễn" in ran.out) == (0, True), (words, ran)
    assert len(club("swims", "nguyen", "--json").json["swims"]) == 1
    assert "Linh Nguyễn" in club("seen", "nguyen").out


def test_two_people_that_fit_are_both_named_and_nothing_is_stored(club: Cli) -> None:
    ran = club("log", "lind", "t400", "6:40")
    assert ran.code == 2
    assert "'lind' fits two swimmers: Bo Lind, Bo Lindqvist" in ran.err
    assert club("swims", "Bo Lind", "--json").json["swims"] == []
    assert club("swims", "Bo Lindqvist", "--json").json["swims"] == []


@pytest.mark.parametrize("answer", ["2", "Bo Lindqvist", "qvist"])
def test_on_a_terminal_it_is_asked(club: Cli, monkeypatch: pytest.MonkeyPatch, answer: str) -> None:
    monkeypatch.setattr(Context, "may_ask", property(lambda _: True))
    ran = club("swimmer", "show", "lind", stdin=f"{answer}\n".encode())
    assert ran.code == 0, ran.err
    assert "Bo Lindqvist" in ran.out
    assert "1 Bo Lind" in ran.err
    assert "2 Bo Lindqvist" in ran.err


def test_no_answer_changes_nothing(club: Cli, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(Context, "may_ask", property(lambda _: True))
    ran = club("swimmer", "archive", "lind", stdin=b"\n")
    assert ran.code == 2
    assert "lind" in ran.err
    assert len(club("swimmer", "list", "--json").json["swimmers"]) == len(PEOPLE)


def test_several_names_are_asked_one_after_the_other(club: Cli, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(Context, "may_ask", property(lambda _: True))
    ran = club("page", "lind", "bo", "--month", "2026-06", stdin=b"1\n2\n")
    assert ran.err.count("fits two swimmers") == 2


def test_nobody_is_erased_by_a_part_of_the_name(club: Cli) -> None:
    ran = club("swimmer", "erase", "lee", "--yes")
    assert (ran.code, "did you mean Ashlee Moor?" in ran.err) == (2, True)
    assert club("swimmer", "show", "Ashlee Moor").code == 0
    assert club("swimmer", "erase", "linh nguyen", "--yes").code == 0


def test_a_sheet_names_people_in_full(club: Cli, tmp_path) -> None:
    sheet = tmp_path / "sheet.csv"
    sheet.write_text("swimmer,test,date,time 400\nlee,t400,2026-06-01,6:40\n")
    ran = club("log", "--table", str(sheet))
    assert (ran.code, "did you mean Ashlee Moor?" in ran.err) == (2, True)
    sheet.write_text("swimmer,test,date,time 400\nashlee moor,t400,2026-06-01,6:40\n")
    assert club("log", "--table", str(sheet)).code == 0


@pytest.mark.parametrize("typed", ["", " ", "zz", "%", "_", "*", "Bo Lyndqvist", "Linh Guyen"])
def test_nothing_wildcards_and_mistyped_names_are_nobody(club: Cli, typed: str) -> None:
    assert club("swimmer", "show", typed).code == 2


def test_the_same_letters_with_and_without_accents_are_two_people(cli: Cli) -> None:
    cli("swimmer", "add", "José Ruiz")
    cli("swimmer", "add", "Jose Ruiz")
    assert "José Ruiz" in cli("swimmer", "show", "José Ruiz").out
    assert "Jose Ruiz" in cli("swimmer", "show", "Jose Ruiz").out
    assert cli("swimmer", "show", "jose ruiz").code == 2


@pytest.mark.parametrize(("typed", "found"), [("nguyen", ["Linh Nguyễn"]), ("sor", ["Sørlie Hansen"])])
def test_completion_finds_them_too(club: Cli, typed: str, found: list[str]) -> None:
    assert club("completion", "words", "--", "why", typed).out.splitlines() == found


def test_completion_keeps_to_beginnings_where_there_are_several(club: Cli) -> None:
    assert club("completion", "words", "--", "why", "bo").out.splitlines() == ["Bo Lind", "Bo Lindqvist"]
    assert club("completion", "words", "--", "why", "lind").out == ""


def test_an_exact_name_always_wins() -> None:
    assert fitting("Bo", ["Bo", "Bo Lind"]) == ("Bo",)
    assert fitting("bo", ["Bo Lindqvist", "Bo", "Bo Lind"]) == ("Bo",)


def test_words_in_any_order_and_place() -> None:
    assert fits("tri plat", "Ines Aalto Tri squad plateau")
    assert not fits("tri slip", "Ines Aalto Tri squad plateau")


def test_five_thousand_names_take_a_blink() -> None:
    labels = [f"Zoë Čapek-{number:04}" for number in range(5_000)]
    fitting("capek 0001", labels)
    started = time.process_time()
    assert fitting("capek 4321", labels) == ("Zoë Čapek-4321",)
    assert time.process_time() - started < 0.1
