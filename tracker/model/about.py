"""A field as people meet it, declared once beside its type: its name, words, flag and column.

A field says it as ``Annotated[type, About(...)]``; a type shared by several fields may say a part of it.
Forms, flags, screens, tables and columns are made from what `fields_of` returns.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, fields
from enum import StrEnum
from functools import cache
from typing import Any, Literal, get_args, get_origin

from pydantic import AfterValidator
from pydantic.fields import FieldInfo
from sqlmodel import SQLModel

from tracker.model.text import checked_note
from tracker.model.units import format_time, plain_number

CellForm = Literal["text", "word", "date", "time", "number", "whole"]
"""How a field stands in a cell; a "word" is one of a fixed few."""


@dataclass(frozen=True)
class About:
    """What a field says of itself; all but `words` may be left out where it follows from the type.

    Attributes
    ----------
    words
        What it is, as the help says it.
    value
        What stands for its value in the help.
    hint
        How it is typed, as a form says it beside the field.
    name
        Its name in forms, flags and messages, where the record's own is longer ("rest" for `rest_s`).
    flag
        Its flag, where that is not its name ("by" for `given_by`).
    label
        What a form calls it, where that is another.
    heading
        What stands above it in a list, where that is not its name.
    column
        Its column in a file, where that is not the record's own name.
    headers
        What other people's tables call it, separated by ", "; small letters without accents.
    empty
        What it is if nothing is typed.
    typed
        How it is read from what a person types, where that is not the way of its type. "list" is several
        words in one line, "lines" is several texts, each in a line of its own.
    order
        Where it stands among the fields of a long form: a lower one comes before.
    fixed
        Whether it stays as it was logged.
    health
        Whether it is health data: "always", or "by kind", where the record is of a kind that is about
        health. `technique.privacy` shows such a field as the setting allows, and nothing else has to know.
    """

    words: str = ""
    value: str = ""
    hint: str = ""
    name: str = ""
    flag: str = ""
    label: str = ""
    heading: str = ""
    column: str = ""
    headers: str = ""
    empty: str = ""
    typed: Literal["", "time", "pace", "duration", "rate", "list", "lines"] = ""
    order: int = 9
    fixed: bool = False
    health: Literal["", "by kind", "always"] = ""


@dataclass(frozen=True)
class RecordField:
    """A field of a record with all that follows from its type and what it says of itself.

    Attributes
    ----------
    own
        The name that the record has for it.
    form
        How it stands in a cell.
    choices
        The words that it may be, where they are a fixed few.
    notes
        Whether it holds text of several lines.
    """

    own: str
    about: About
    form: CellForm
    choices: tuple[str, ...]
    notes: bool

    @property
    def name(self) -> str:
        """Its name in forms and messages."""
        return self.about.name or self.own

    @property
    def flag(self) -> str:
        """Its flag on a command line."""
        return f"--{(self.about.flag or self.name).replace('_', '-')}"

    @property
    def heading(self) -> str:
        """What stands above it in a list."""
        return self.about.heading or self.name

    @property
    def label(self) -> str:
        """What a form calls it."""
        return self.about.label or self.name

    @property
    def column(self) -> str:
        """Its column in a file."""
        return self.about.column or self.own

    @property
    def value(self) -> str:
        """What stands for its value in the help."""
        plain = {"date": "D", "word": "|".join(self.choices), "time": "TIME", "text": "T"}
        return self.about.value or plain.get(self.form, "N")

    @property
    def hint(self) -> str:
        """How it is typed."""
        plain = {"date": "YYYY-MM-DD", "word": _either(self.choices)}
        return self.about.hint or plain.get(self.form, self.about.words)

    @property
    def help(self) -> str:
        """What it is, and what it is if nothing is typed."""
        return self.about.words + (f" (default: {self.about.empty})" if self.about.empty else "")

    @property
    def first_hint(self) -> str:
        """How it is typed, and what it is if nothing is typed."""
        return "; ".join(filter(None, (self.hint, self.about.empty and f"empty is {self.about.empty}")))

    def as_typed(self, record: SQLModel) -> str:
        """Return what a record holds as a person would type it."""
        value = getattr(record, self.own)
        if value is None:
            return ""
        if self.about.typed == "rate":
            return f"{plain_number(value)}cpm"
        if self.form == "time":
            return format_time(value)
        return plain_number(value) if isinstance(value, (int, float)) else str(value)


@cache
def fields_of(kind: type[SQLModel]) -> Mapping[str, RecordField]:
    """Return the fields of a kind of record by its own names for them, in order."""
    return {name: _field(name, info) for name, info in kind.model_fields.items()}


def corrigible(kind: type[SQLModel]) -> tuple[RecordField, ...]:
    """Return the fields of a kind of record that may be corrected, in order."""
    return tuple(field for field in fields_of(kind).values() if not field.about.fixed)


def field_called(kind: type[SQLModel], name: str) -> str:
    """Return a field's own name by any that a person may use; what is none stays as it is."""
    return next((field.own for field in fields_of(kind).values() if name == field.name), name)


def fields_called(kind: type[SQLModel], *names: str) -> tuple[RecordField, ...]:
    """Return some fields of a kind of record, in the order of their names."""
    return tuple(fields_of(kind)[field_called(kind, name)] for name in names)


def in_form_order(kind: type[SQLModel], *without: str) -> tuple[RecordField, ...]:
    """Return the fields that may be corrected, but for some, as they stand in a long form."""
    asked = (field for field in corrigible(kind) if field.own not in without)
    return tuple(sorted(asked, key=lambda field: field.about.order))


def health_fields(kind: type[SQLModel], *marks: str) -> tuple[str, ...]:
    """Return the fields of a kind of record that are marked as health data in one of some ways."""
    return tuple(field.own for field in fields_of(kind).values() if field.about.health in marks)


def form_of(kind: type[SQLModel], field: str) -> CellForm:
    """Return how a field stands in a cell."""
    return fields_of(kind)[field].form


def words_of(annotation: Any) -> tuple[str, ...]:  # noqa: ANN401 - any type
    """Return the fixed few words that a type allows; none where it allows others."""
    if isinstance(annotation, type) and issubclass(annotation, StrEnum):
        return tuple(word.value for word in annotation)
    return get_args(annotation) if get_origin(annotation) is Literal else ()


def _either(words: tuple[str, ...]) -> str:
    """Return "a, b or c"."""
    return " or ".join(filter(None, (", ".join(words[:-1]), *words[-1:])))


def _field(name: str, info: FieldInfo) -> RecordField:
    marks = [*_marks(info.annotation), *info.metadata]
    about = _merged([mark for mark in marks if isinstance(mark, About)])
    annotation: Any = info.annotation
    notes = any(isinstance(mark, AfterValidator) and mark.func is checked_note for mark in marks)
    return RecordField(
        name, about, _form(annotation, about), tuple(filter(None, words_of(annotation))), notes
    )


def _marks(annotation: Any) -> Iterator[object]:  # noqa: ANN401 - any type
    """Give what is noted inside a type: `Seconds | None` notes what `Seconds` does."""
    for part in get_args(annotation):
        yield from getattr(part, "__metadata__", ())


def _merged(said: list[About]) -> About:
    """Return what is said by a type and by the field itself, which goes before."""
    blank = About()
    names = [field.name for field in fields(About)]
    return About(
        **{
            name: getattr(one, name)
            for one in said
            for name in names
            if getattr(one, name) != getattr(blank, name)
        }
    )


def _form(annotation: Any, about: About) -> CellForm:  # noqa: ANN401 - any type
    if about.typed in {"time", "pace"}:
        return "time"
    if words_of(annotation):
        return "word"
    kinds = {get_args(part)[0] if get_origin(part) is not None else part for part in get_args(annotation)}
    kinds = kinds or {annotation}
    if dt.date in kinds:
        return "date"
    if int in kinds:
        return "whole"
    return "number" if float in kinds else "text"
