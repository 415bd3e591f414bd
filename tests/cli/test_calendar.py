"""`calendar`: the dates ahead as a list, as JSON and as a calendar file (RFC 5545)."""

from __future__ import annotations

import datetime as dt
import importlib.util
from pathlib import Path
from typing import Any

import pytest
from icalendar import Calendar

from tests.cli.conftest import Cli

LONG = "Ñandú, the second; of " + "ñ" * 70
TODAY = dt.date(2026, 6, 30)


def dates_in(file: Path) -> dict[str, tuple[dt.date, dt.date, str]]:
    """Return summary -> first day, day after the last, identifier."""
    found: dict[str, tuple[dt.date, dt.date, str]] = {}
    for event in Calendar.from_ical(file.read_bytes()).walk("VEVENT"):
        title = str(event["SUMMARY"])
        assert title not in found
        begins, ends = event["DTSTART"].dt, event["DTEND"].dt
        assert type(begins) is type(ends) is dt.date  # whole days, without an hour
        found[title] = (begins, ends, str(event["UID"]))
    return found


def log(cli: Cli, who: str, *days: str) -> None:
    for day in days:
        assert cli("log", who, "t400", "6:40", "--date", day).code == 0


@pytest.fixture
def club(cli: Cli) -> Cli:
    """Ines, tested every three weeks, with two races; one with a long label; one archived."""
    cli("swimmer", "add", "Ines Aalto", "--group", "Masters")
    cli("swimmer", "add", LONG, "--group", "Lane 1")
    cli("swimmer", "add", "Old Hand", "--group", "Masters")
    cli("swimmer", "archive", "Old Hand")
    log(cli, "Ines Aalto", "2026-04-24", "2026-05-15", "2026-06-05", "2026-06-26")
    cli("event", "Ines Aalto", "race", "--from", "2026-08-20", "--to", "2026-08-21", "--note", "with\nlines")
    cli("event", "Ines Aalto", "race", "--from", "2026-05-20")
    return cli


def test_the_list_says_what_is_asked_of_whom_and_why_then(club: Cli) -> None:
    rows = [line.split("\t") for line in club("calendar").out.splitlines()]
    assert rows == [
        ["date", "what", "swimmer", "group", "why then"],
        ["2026-06-30", "test", LONG, "Lane 1", "as soon as you can; there is none on record"],
        ["2026-07-17", "test", "Ines Aalto", "Masters", "every 21 days, as has been usual"],
        ["2026-08-20", "race", "Ines Aalto", "Masters", "until 21 August"],
    ]
    found = club("calendar", "--group", "Masters", "--json").json
    assert [one["kind"] for one in found["dates"]] == ["test", "race"]
    assert found["dates"][0]["due_since"] is None
    late = club("calendar", "--group", "Masters", "--json", "--as-of", "2026-07-20").json
    assert (late["dates"][0]["date"], late["dates"][0]["due_since"]) == ("2026-07-20", "2026-07-17")
    assert club("calendar", "--group", "Nobody").code == 2
    assert club("calendar", "--force").code == 2


def test_a_calendar_file_is_of_whole_days_folded_and_escaped(club: Cli, home: Path) -> None:
    ran = club("calendar", "--to", "dates.ics")
    assert (ran.code, ran.out) == (0, "dates.ics\n")
    raw = (home / "dates.ics").read_bytes()
    assert raw.count(b"\n") == raw.count(b"\r\n") > 20
    lines = raw.split(b"\r\n")
    assert max(map(len, lines)) <= 75
    assert any(line.startswith(b" ") for line in lines)
    for line in lines:
        line.decode("utf-8")  # no letter is torn
    assert "SUMMARY:Test: Ñandú\\, the second\\; of " in raw.decode("utf-8")
    assert b"with" not in raw
    assert b"Old Hand" not in raw
    found = dates_in(home / "dates.ics")
    assert found[f"Test: {LONG}"][:2] == (TODAY, dt.date(2026, 7, 1))
    assert found["Race: Ines Aalto"][:2] == (dt.date(2026, 8, 20), dt.date(2026, 8, 22))
    assert found.keys() == {f"Test: {LONG}", "Test: Ines Aalto", "Race: Ines Aalto"}


def test_what_a_label_holds_never_becomes_a_line_of_its_own(cli: Cli, home: Path) -> None:
    label = "BEGIN:VALARM\\nDESCRIPTION:x;,"
    assert cli("swimmer", "add", label).code == 0
    cli("calendar", "--to", "dates.ics")
    raw = (home / "dates.ics").read_bytes()
    assert raw.count(b"BEGIN:") == 1 + 1 + 1
    assert not any(line.startswith((b"BEGIN:VALARM", b"DESCRIPTION")) for line in raw.split(b"\r\n"))
    assert dates_in(home / "dates.ics").keys() == {f"Test: {label}"}


def test_taken_in_again_it_moves_and_does_not_double(club: Cli, home: Path) -> None:
    club("calendar", "--to", "a.ics")
    log(club, "Ines Aalto", "2026-06-29")
    club("swimmer", "edit", "Ines Aalto", "--test-every", "28", "--label", "Ines A.")
    listed = club("event", "list", "Ines A.")
    assert listed.code == 0, listed.err
    number = listed.out.splitlines()[-1].split("\t")[0]
    assert club("event", "edit", number, "--from", "2026-08-19").code == 0
    club("calendar", "--to", "b.ics")
    a, b = dates_in(home / "a.ics"), dates_in(home / "b.ics")
    assert a["Test: Ines Aalto"][0] == dt.date(2026, 7, 17)
    assert b["Test: Ines A."][0] == dt.date(2026, 7, 27)
    assert a["Test: Ines Aalto"][2] == b["Test: Ines A."][2]
    assert a["Race: Ines Aalto"][2] == b["Race: Ines A."][2]
    identifiers = [one[2] for one in b.values()]
    assert len(set(identifiers)) == len(identifiers)
    assert not any("Ines" in one for one in identifiers)


def test_a_file_that_exists_is_replaced_only_when_told(club: Cli, home: Path) -> None:
    (home / "dates.ics").write_text("mine")
    ran = club("calendar", "--to", "dates.ics")
    assert ran.code == 2
    assert "--force" in ran.err
    assert (home / "dates.ics").read_text() == "mine"
    assert club("calendar", "--to", "dates.ics", "--force").code == 0
    assert (home / "dates.ics").stat().st_mode & 0o077 == 0
    assert club("calendar", "--to", "-").code == 2


def test_nobody_whose_consent_is_withdrawn_and_nothing_of_health(club: Cli, home: Path) -> None:
    club("config", "set", "health", "true")
    club("event", "Ines Aalto", "injury", "--from", "2026-06-28", "--body-part", "shoulder", "--note", "torn")
    club("swimmer", "consent", LONG, "withdraw", "--for", "record")
    ran = club("calendar", "--to", "dates.ics")
    assert "left out" in ran.err
    raw = (home / "dates.ics").read_text(encoding="utf-8")
    assert dates_in(home / "dates.ics").keys() == {"Race: Ines Aalto"}
    for word in ("injury", "shoulder", "torn", "health", "ñ"):
        assert word not in raw
    assert "ñ" not in club("calendar").out


def test_without_the_extra_it_says_how_to_get_it_and_writes_nothing(
    club: Cli, home: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    real = importlib.util.find_spec

    def find(name: str, *more: Any) -> Any:
        return None if name == "icalendar" else real(name, *more)

    monkeypatch.setattr("tracker.output.calendar_file.find_spec", find)
    ran = club("calendar", "--to", "dates.ics")
    assert ran.code == 2
    assert ".venv/bin/pip install '.[calendar]'" in ran.err
    assert not (home / "dates.ics").exists()
    assert club("calendar").code == 0
