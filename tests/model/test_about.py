"""What fields say of themselves, and what follows from it."""

from __future__ import annotations

import datetime as dt
from typing import Annotated

import pytest
from sqlmodel import Field

from tracker.model.about import About, corrigible, field_called, fields_of, health_fields, in_form_order
from tracker.model.base import FirstDay, LastDay, Name, Record, Remark, Seconds
from tracker.model.club_layout import FILES, ClubFile
from tracker.model.event import Event
from tracker.model.fault import FaultStep
from tracker.model.swim import Swim
from tracker.model.swimmer import Consent


class Dive(Record):
    """A record of every sort of field."""

    from_date: FirstDay
    to_date: LastDay = None
    swimmer: Name
    time_s: Annotated[Seconds | None, About("how long", name="time")] = None
    depth_m: Annotated[float | None, About("how deep", name="depth", label="metres")] = Field(default=None)
    tries: Annotated[int, About("how many")] = 1
    note: Annotated[Remark, About("what was seen")] = ""


DIVE = Dive(from_date=dt.date(2026, 6, 1), swimmer="Ana Prova", time_s=62.5, depth_m=3.0)


def test_the_form_of_a_cell_follows_from_the_type() -> None:
    assert {name: field.form for name, field in fields_of(Dive).items()} == {
        "from_date": "date",
        "to_date": "date",
        "swimmer": "text",
        "time_s": "time",
        "depth_m": "number",
        "tries": "whole",
        "note": "text",
    }
    assert fields_of(Swim)["suit"].form == "word"
    assert [name for name, field in fields_of(Dive).items() if field.notes] == ["note"]


def test_a_field_says_more_than_its_type_and_goes_before_it() -> None:
    note = fields_of(Dive)["note"]
    assert note.about.words == "what was seen"
    assert "bemerkung" in note.about.headers.split(", ")


def test_flag_label_value_and_hints_follow() -> None:
    begins, depth = fields_of(Dive)["from_date"], fields_of(Dive)["depth_m"]
    assert (begins.flag, begins.value, begins.column) == ("--from", "D", "from")
    assert (begins.help, begins.first_hint) == ("first day (default: today)", "YYYY-MM-DD; empty is today")
    assert (depth.flag, depth.value, depth.label, depth.hint) == ("--depth", "N", "metres", "how deep")
    assert (fields_of(Swim)["suit"].value, fields_of(Swim)["start"].hint) == ("none|wetsuit", "push or dive")


def test_a_record_is_shown_as_it_would_be_typed() -> None:
    typed = {field.name: field.as_typed(DIVE) for field in fields_of(Dive).values()}
    assert typed == {
        "from": "2026-06-01",
        "to": "",
        "swimmer": "Ana Prova",
        "time": "1:02.5",
        "depth": "3",
        "tries": "1",
        "note": "",
    }


def test_what_stays_as_logged_cannot_be_corrected() -> None:
    assert [field.own for field in fields_of(Swim).values() if field not in corrigible(Swim)] == [
        "swimmer",
        "set_id",
        "decision",
    ]


def test_a_field_is_found_by_either_name() -> None:
    assert [field_called(Swim, name) for name in ("rest", "rest_s", "nonsense")] == [
        "rest_s",
        "rest_s",
        "nonsense",
    ]


@pytest.mark.parametrize("file", FILES, ids=lambda file: file.stem)
def test_no_name_and_no_header_means_two_fields_of_one_record(file: ClubFile) -> None:
    fields = fields_of(file.kind).values()
    for names in (
        [name for field in fields for name in {field.own, field.name}],
        [word for field in fields for word in {field.column, *filter(None, field.about.headers.split(", "))}],
    ):
        assert len(names) == len(set(names))


ONLY_STOPPING = {"to_date"}
"""A cue has its first day as --date where it starts, its last where it stops."""


def test_flag_and_heading_follow_from_the_name_unless_a_field_says_another() -> None:
    named = {"given_by": ("--by", "by"), "text_version": ("--text-version", "text"), "how": ("--how", "how")}
    fields = fields_of(Consent)
    assert {own: (fields[own].flag, fields[own].heading) for own in named} == named


def test_the_fixed_few_words_are_listed_as_a_sentence_lists_them() -> None:
    assert fields_of(Consent)["purpose"].hint == "record, pages or clips"
    assert fields_of(Consent)["given_by"].first_hint == "self or guardian; empty is self"


@pytest.mark.parametrize("file", FILES, ids=lambda file: file.stem)
def test_no_two_fields_that_can_be_corrected_have_one_flag(file: ClubFile) -> None:
    together = [field.flag for field in corrigible(file.kind) if field.own not in ONLY_STOPPING]
    assert len(together) == len(set(together))


def test_a_long_form_leaves_fields_out_and_goes_by_place() -> None:
    assert [field.own for field in in_form_order(FaultStep, "note")] == [
        "fault",
        "side",
        "step",
        "severity",
        "date",
        "reviewer",
    ]


def test_every_field_that_can_be_corrected_says_what_it_is() -> None:
    silent = {
        f"{file.stem}.{field.own}"
        for file in FILES
        for field in corrigible(file.kind)
        if not field.about.words
    }
    assert silent == set()


def test_health_data_is_marked_only_where_it_is_redacted() -> None:
    """Whoever marks a field of another record has to let its lists go through `technique.privacy` first."""
    marked = {file.kind: health_fields(file.kind, "by kind", "always") for file in FILES}
    assert {kind: names for kind, names in marked.items() if names} == {Event: ("kind", "body_part", "note")}
