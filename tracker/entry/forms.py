"""Text to records, one rule for flags, screens and files; everything wrong is said at once.

A form is a mapping from field names to text. Names are those of the record, or the shorter ones
a person knows (`KNOWN_AS`): "time" for `time_s`, "from" for `from_date`.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import Any, TypeVar

from pydantic import ValidationError

from tracker.entry.dates import parse_date
from tracker.entry.times import parse_number, parse_rate, parse_time, parse_whole, shown
from tracker.entry.typed_times import time_problem, typed_pace
from tracker.errors import EntryError, Problem
from tracker.model.base import Record
from tracker.model.club_layout import CellForm, form_of
from tracker.model.plausibility import Limits
from tracker.model.text import clean_line
from tracker.settings import DEFAULT

R = TypeVar("R", bound=Record)

KNOWN_AS: dict[str, str] = {
    "time_s": "time",
    "distance_m": "distance",
    "set_id": "set",
    "from_date": "from",
    "to_date": "to",
    "warmup_min": "warmup",
    "rest_s": "rest",
    "rate_cpm": "rate",
}
_FIELD_OF = {known: name for name, known in KNOWN_AS.items()}


def known_as(name: str) -> str:
    """Return a field's name as a person knows it."""
    return KNOWN_AS.get(name, name)


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
        values.pop(_FIELD_OF.get(name, name), None)
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
        name = _FIELD_OF.get(known, known)
        if not text.strip():
            continue
        try:
            values[name] = _read(kind, name, text, order=order, comma=comma, limits=limits)
        except ValueError as wrong:
            problems.append(time_problem(known_as(name), text, wrong))
    return values


def _read(
    kind: type[Record], name: str, text: str, *, order: str | None, comma: bool, limits: Limits
) -> object:
    form: CellForm = form_of(kind, name) if name in kind.model_fields else "text"
    if form == "date":
        return parse_date(text, order)
    if name == "target_pace":
        return typed_pace(text, limits)
    if form == "time":
        return parse_time(text, comma=comma)
    if form == "word":
        return text.strip().lower()
    if name == "strokes":
        return text.replace(",", " ")
    if form == "text":
        return text
    plain = text.replace(",", ".") if comma else text
    if name == "rate_cpm":
        return parse_rate(plain)
    return parse_whole(plain) if form == "whole" else parse_number(plain)


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
            name = known_as(str(error["loc"][0])) if error["loc"] else ""
            if name not in already:
                already.add(name)
                written = "" if error["type"] == "missing" else str(error["input"])
                found.append(Problem(name, clean_line(written), _reason(error, written)))
    if found or record is None:
        place = {known_as(_FIELD_OF.get(name, name)): index for index, name in enumerate(form)}
        found.sort(key=lambda problem: place.get(problem.field, len(place)))
        raise EntryError(tuple(replace(problem, row=row, file=file) for problem in found))
    return record


def _reason(error: Any, written: str) -> str:  # noqa: ANN401 - pydantic's own dict
    """Return pydantic's finding in our words."""
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
