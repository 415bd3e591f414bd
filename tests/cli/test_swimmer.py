"""Who: labels are unique by spelling, similar ones are asked about, text is data."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.cli.conftest import Cli


def test_add_show_edit_archive(ines: Cli) -> None:
    assert ines("swimmer", "show", "ines aalto").out.startswith(
        "swimmer: Ines Aalto; group: Masters; born: 1988"
    )
    edited = ines("swimmer", "edit", "Ines Aalto", "--target-pace", "1:35", "--target-date", "2026-09-01")
    assert "target pace: 1:35; by: 2026-09-01" in edited.out
    assert ines("swimmer", "archive", "Ines Aalto").code == 0
    assert ines("swimmer", "list", "--json").json["swimmers"] == []
    assert len(ines("swimmer", "list", "--archived", "--json").json["swimmers"]) == 1
    assert "archived already" in ines("swimmer", "archive", "Ines Aalto").err
    assert ines("swimmer", "archive", "Ines Aalto", "--back").code == 0
    assert len(ines("swimmer", "list", "--json").json["swimmers"]) == 1


def test_an_empty_field_goes_back_to_nothing(ines: Cli) -> None:
    assert ines("swimmer", "edit", "Ines Aalto", "--group", "", "--json").json["group"] == ""


def test_a_new_label_takes_everything_along(ines: Cli) -> None:
    assert ines("log", "Ines Aalto", "t400", "6:40").code == 0
    assert ines("swimmer", "edit", "Ines Aalto", "--label", "Inès Aalto").code == 0
    assert len(ines("swims", "Inès Aalto", "--json").json["swims"]) == 1


@pytest.mark.parametrize(
    ("first", "second"), [("Zo\u00eb", "Zoe\u0308"), ("STRAUSS", "Strau\u00df"), ("Ines  B", "ines b")]
)
def test_one_spelling_is_one_label(cli: Cli, first: str, second: str) -> None:
    assert cli("swimmer", "add", first).code == 0
    ran = cli("swimmer", "add", second)
    assert ran.code == 2
    assert "is there already" in ran.err


@pytest.mark.parametrize(("first", "second"), [("Ana", "\u0410na"), ("Zoë", "Zoe")])
def test_a_similar_label_is_added_and_asked_about(cli: Cli, first: str, second: str) -> None:
    assert cli("swimmer", "add", first).code == 0
    ran = cli("swimmer", "add", second)
    assert ran.code == 0
    assert "looks much like" in ran.err


@pytest.mark.parametrize(
    "name",
    ["NA", "None", "nan", "Ana [/]", "[@click=app.quit]Ana", ":ocean: Ana", "100%", "{0} %s", "Mo$li", "=8-3",
     "Tansy'); DELETE FROM swim;--", "../../../ebb", "凌汐舟", "سامر بحری", "שלום", "🏊‍♀️ Ana"],
)  # fmt: skip
def test_any_name_is_kept_as_it_is(cli: Cli, name: str) -> None:
    assert cli("swimmer", "add", name).code == 0
    assert cli("swimmer", "list", "--json").json["swimmers"][0]["swimmer"] == name
    assert name in cli("swimmer", "list").out


@pytest.mark.parametrize(
    "name", ["", "  ", "\x1b]0;EBBED\x1b\\Ana", "\x9b2JAna", "a\rb", "\u202eAna", "\ud800", "A" * 201]
)
def test_what_steers_a_terminal_or_is_no_name_is_refused(cli: Cli, name: str) -> None:
    ran = cli("swimmer", "add", name)
    assert (ran.code, ran.out) == (2, "")
    assert ran.err.count("\n") == 1
    assert not set("\x1b\x9b\r\u202e\ud800") & set(ran.err)


@pytest.mark.parametrize("born", ["12", "2027", "1988-01-01", "MCM"])
def test_birth_is_a_year_that_has_been(cli: Cli, born: str) -> None:
    ran = cli("swimmer", "add", "Ana", "--born", born)
    assert (ran.code, ran.out) == (2, "")
    assert "born: " in ran.err


LOGGING = (
    ("log", "Ines Aalto", "t400", "6:40"),
    ("review", "Ines Aalto", "--score", "breathing=3"),
    ("fault", "Ines Aalto", "open", "breath-late", "--by", "Maud"),
    ("event", "Ines Aalto", "race"),
    ("load", "Ines Aalto", "2026-06-22", "--metres", "3000"),
    ("cue", "Ines Aalto", "start", "legs like a tail"),
)


@pytest.mark.parametrize("words", LOGGING, ids=lambda words: words[0])
def test_who_is_archived_is_logged_for_all_the_same_and_it_is_said(ines: Cli, words: tuple[str, ...]) -> None:
    note = (
        "note: Ines Aalto is archived, since 2026-06-30, and off the roster; logged all the same. "
        "To take them back: slackwater swimmer archive 'Ines Aalto' --back"
    )
    assert "archived" not in ines(*words).err
    assert ines("undo").code == 0
    assert ines("swimmer", "archive", "Ines Aalto").code == 0
    ran = ines(*words, "--json")
    assert ran.code == 0
    assert ran.json["schema"] == 1
    assert note in ran.err.splitlines()
    assert ines("swimmer", "archive", "Ines Aalto", "--back").code == 0


def test_a_sheet_names_each_archived_swimmer_once(ines: Cli, home: Path) -> None:
    assert ines("swimmer", "add", "Bram Toivonen").code == 0
    assert ines("swimmer", "archive", "Ines Aalto").code == 0
    (home / "sheet.csv").write_text(
        "swimmer,test,date,time 400,time 200\n"
        "Ines Aalto,css,2026-06-30,6:40,3:10\nBram Toivonen,css,2026-06-30,7:10,3:25\n",
        encoding="utf-8",
    )
    ran = ines("log", "--table", "sheet.csv")
    assert ran.code == 0
    assert ran.err.count("is archived") == ran.err.count("Ines Aalto is archived") == 1
