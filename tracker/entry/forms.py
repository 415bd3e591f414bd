"""Text to records, one rule for flags, screens and files; all problems are reported at once.

A form is a mapping from field names to text. Names are those of the record, or the shorter ones
a person knows (`RecordField.name`): "time" for `time_s`, "from" for `from_date`.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import Any, TypeVar

from pydantic import ValidationError

from tracker.entry.dates import parse_date
from tracker.entry.times import parse_number, parse_rate, parse_time, parse_whole, shown
from tracker.entry.typed_times import time_problem, typed_pace, typed_time
from tracker.errors import EntryError, Problem
from tracker.model.about import RecordField, field_called, fields_of
from tracker.model.base import Record
from tracker.model.plausibility import Limits
from tracker.model.text import clean_line
from tracker.settings import DEFAULT

R = TypeVar("R", bound=Record)


def read_record(  # noqa: PLR0913 - each its own switch, all by keyword
    kind: type[R],
    form: Mapping[str, str],
    *,
    order: str | None = None,
    comma: bool = False,
    row: int | None = None,
    file: str = "",
    limits: Limits = DEFAULT,
) -> R:
    """Return the record that a form says; empty fields take their defaults.

    Parameters
    ----------
    order, comma
        As `parse_date` and `parse_time` take them.
    row, file
        Where the form stands, for the problems.
    limits
        Between which paces a typed pace may be.

    Raises
    ------
    EntryError
        With every problem of every field.
    """
    problems: list[Problem] = []
    values = _read_fields(kind, form, problems, order=order, comma=comma, limits=limits)
    return _checked(kind, values, problems, form, row=row, file=file)


def changed_record(
    record: R, form: Mapping[str, str], *, order: str | None = None, limits: Limits = DEFAULT
) -> R:
    """Return the record with the fields of a form put in; an empty field goes back to its default.

    Raises
    ------
    EntryError
        With every problem of every field.
    """
    kind = type(record)
    problems: list[Problem] = []
    values = record.model_dump()
    for name in form:
        values.pop(field_called(kind, name), None)
    values.update(_read_fields(kind, form, problems, order=order, comma=False, limits=limits))
    return _checked(kind, values, problems, form, row=None, file="")


def changes_between(old: R, new: R) -> dict[str, object]:
    """Return the fields in which two records of a kind differ, with the new values."""
    before = old.model_dump()
    return {name: value for name, value in new.model_dump().items() if before[name] != value}


def _read_fields(
    kind: type[Record],
    form: Mapping[str, str],
    problems: list[Problem],
    *,
    order: str | None,
    comma: bool,
    limits: Limits,
) -> dict[str, object]:
    values: dict[str, object] = {}
    for known, text in form.items():
        name = field_called(kind, known)
        if not text.strip():
            continue
        try:
            field = fields_of(kind).get(name)
            values[name] = _read(field, text, order=order, comma=comma, limits=limits) if field else text
        except ValueError as wrong:
            problems.append(time_problem(_known_as(kind, name), text, wrong))
    return values


def _read(  # noqa: C901 - one case a way of reading
    field: RecordField, text: str, *, order: str | None, comma: bool, limits: Limits
) -> object:
    plain = text.replace(",", ".") if comma else text
    match field.about.typed or field.form:
        case "pace":
            return typed_pace(text, limits)
        case "time":
            return parse_time(text, comma=comma)
        case "rate":
            return parse_rate(plain)
        case "duration":
            return round(typed_time(text), 2)
        case "list":
            return text.replace(",", " ")
        case "date":
            return parse_date(text, order)
        case "word":
            return text.strip().lower()
        case "text" | "lines":
            return text
        case "whole":
            return parse_whole(plain)
        case "number":
            return parse_number(plain)


def _known_as(kind: type[Record], name: str) -> str:
    """Return a field's name as a person knows it."""
    field = fields_of(kind).get(name)
    return field.name if field else name


def _checked(
    kind: type[R],
    values: Mapping[str, object],
    problems: list[Problem],
    form: Mapping[str, str],
    *,
    row: int | None,
    file: str,
) -> R:
    """Return the validated record, or raise every problem in the order of the form."""
    found = list(problems)
    already = {problem.field for problem in problems}
    record = None
    try:
        record = kind.model_validate(dict(values))
    except ValidationError as invalid:
        for error in invalid.errors(include_url=False, include_context=True):
            name = _known_as(kind, str(error["loc"][0])) if error["loc"] else ""
            if name not in already:
                already.add(name)
                written = "" if error["type"] == "missing" else str(error["input"])
                found.append(Problem(name, clean_line(written), _reason(error, written)))
    if found or record is None:
        place = {_known_as(kind, field_called(kind, name)): index for index, name in enumerate(form)}
        found.sort(key=lambda problem: place.get(problem.field, len(place)))
        raise EntryError(tuple(replace(problem, row=row, file=file) for problem in found))
    return record


def _reason(error: Any, written: str) -> str:  # noqa: ANN401 - pydantic's own dict
    """Return pydantic's message in plain words."""
    context = error.get("ctx", {})
    match error["type"]:
        case "missing":
            return "is missing"
        case "extra_forbidden":
            return "is no field here"
        case "literal_error" | "enum":
            known = context["expected"].removeprefix("'', ").removeprefix("'' or ").replace(" or ", ", ")
            return f"{shown(written)} is none of {known}"
        case "less_than_equal":
            return f"{shown(written)} is above {context['le']:g}"
        case "greater_than_equal":
            return f"{shown(written)} is below {context['ge']:g}"
        case "greater_than":
            return f"{shown(written)} is not above {context['gt']:g}"
        case "value_error":
            said = str(context.get("error", error["msg"]))
            return f"{shown(written)} {said}" if said.startswith("is not ") else said
    return f"{shown(written)} does not fit here"
