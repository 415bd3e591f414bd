"""One rule for flags, screens and files: every problem of a form is found, each under its field's name."""

from __future__ import annotations

import datetime as dt

import pytest

from tracker.entry.forms import changed_record, changes_between, read_record
from tracker.entry.times import parse_flagged_rate, parse_rate
from tracker.errors import EntryError
from tracker.model.event import Event, Load
from tracker.model.fault import FaultStep
from tracker.model.swim import Swim
from tracker.model.swimmer import Swimmer

FORM = {"date": "2026-03-02", "swimmer": "Ines Aalto", "distance": "400", "time": "6:40"}


def _problems(kind: type, form: dict[str, str]) -> list[tuple[str, str]]:
    with pytest.raises(EntryError) as caught:
        read_record(kind, form)
    return [(problem.field, problem.reason) for problem in caught.value.problems]


def test_a_form_becomes_a_record_under_either_name_of_a_field() -> None:
    swim = read_record(Swim, FORM)
    assert (swim.date, swim.distance_m, swim.time_s, swim.course) == (dt.date(2026, 3, 2), 400, 400, "SCM")
    assert (
        read_record(
            Swim, {"date": "2026-03-02", "swimmer": "Ines Aalto", "distance_m": "400", "time_s": "6:40"}
        )
        == swim
    )
    event = read_record(Event, {"from": "2026-03-02", "swimmer": "Ines Aalto", "kind": "CAMP"})
    assert (event.from_date, event.to_date, event.kind) == (dt.date(2026, 3, 2), None, "camp")


def test_every_problem_is_found_in_the_order_of_the_form() -> None:
    form = {
        "date": "01/02/2026",
        "swimmer": "a\x1b]0;b",
        "distance": "400",
        "time": "6:75",
        "course": "XCM",
        "suit": "shiny",
        "effort": "11",
        "strokes": "18,x",
        "colour": "blue",
    }
    found = _problems(Swim, form)
    assert [name for name, _ in found] == [
        "date",
        "swimmer",
        "time",
        "course",
        "suit",
        "effort",
        "strokes",
        "colour",
    ]
    reasons = dict(found)
    assert "control character" in reasons["swimmer"]
    assert reasons["time"] == "'6:75' has 75 seconds"
    assert reasons["suit"] == "'shiny' is none of 'none', 'wetsuit'"
    assert reasons["effort"] == "'11' is above 10"
    assert "stroke counts" in reasons["strokes"]
    assert reasons["colour"] == "is no field here"
    assert all("\x1b" not in reason and "\n" not in reason for reason in reasons.values())


def test_what_is_missing_is_said_to_be() -> None:
    assert _problems(Swim, {"date": "2026-03-02", "time": "6:40"}) == [
        ("swimmer", "is missing"),
        ("distance", "is missing"),
    ]


@pytest.mark.parametrize("text", ["nan", "inf", "1e309", "1_000", "١٢"])
def test_numbers_go_through_our_grammar(text: str) -> None:
    assert _problems(Swim, FORM | {"rest": text})[0][0] == "rest"
    assert _problems(
        FaultStep, {"date": "2026-03-02", "swimmer": "A", "fault": "b", "step": "open", "severity": text}
    )


def test_a_change_keeps_the_rest_and_an_empty_field_goes_back_to_its_default() -> None:
    swim = read_record(Swim, FORM | {"note": "windy", "effort": "8"})
    changed = changed_record(swim, {"time": "6:41", "note": ""})
    assert changes_between(swim, changed) == {"time_s": 401.0, "note": ""}
    with pytest.raises(EntryError, match="swimmer: is missing"):
        changed_record(swim, {"swimmer": " "})


def test_a_comma_and_another_order_count_where_they_were_named() -> None:
    form = {"date": "02.03.2026", "swimmer": "A", "distance": "365,76", "time": "6:40,5"}
    swim = read_record(Swim, form, order="dmy", comma=True)
    assert (swim.date, swim.distance_m, swim.time_s) == (dt.date(2026, 3, 2), 365.76, 400.5)


def test_the_place_in_a_file_goes_with_the_problem() -> None:
    with pytest.raises(EntryError) as caught:
        read_record(Swim, FORM | {"time": "x"}, row=7, file="swims.csv")
    assert str(caught.value.problems[0]).startswith("swims.csv:7:time: 'x' is not a time")


def test_text_is_kept_as_written_whatever_it_resembles() -> None:
    for name in (
        "NA",
        "None",
        "nan",
        "True",
        "=8-3",
        "[/] {0} %s",
        "Tansy'); DELETE FROM swim;--",
        "凌汐舟",
        "سامر بحری",
    ):
        assert read_record(Swimmer, {"swimmer": name}).swimmer == name
    assert read_record(Swimmer, {"swimmer": "Zoe\u0308"}).swimmer == "Zo\u00eb"


@pytest.mark.parametrize(
    ("text", "cycles"), [("32cpm", 32.0), ("64spm", 32.0), ("65 SPM", 32.5), ("32.5cpm", 32.5)]
)
def test_rates_say_of_what(text: str, cycles: float) -> None:
    assert parse_flagged_rate(text) == cycles
    assert parse_rate(text) == cycles


def test_a_typed_rate_without_unit_is_not_guessed() -> None:
    with pytest.raises(ValueError, match="write 32cpm"):
        parse_flagged_rate("64")
    assert parse_rate("32") == 32.0
    with pytest.raises(ValueError, match="is not a"):
        parse_rate("fast cpm")


@pytest.mark.parametrize("written", ["25:00", "7 Uhr", "12:61", "noon"])
def test_what_is_no_time_of_day_is_told_how_to_write_one(written: str) -> None:
    assert _problems(Swim, {**FORM, "at": written}) == [
        ("at", f"{written!r} is not a time of day; write it as 07:30")
    ]


def test_a_decimal_comma_is_read_only_where_the_file_writes_it() -> None:
    week = {"swimmer": "Ines Aalto", "week": "2026-06-01", "metres": "7800,5"}
    assert read_record(Load, week, comma=True).metres == 7800.5
    with pytest.raises(EntryError, match="7800,5"):
        read_record(Load, week)
