"""The record: a validated, frozen SQLModel data model, and the field types all records share.

A record names its swimmer by label, never by a key: keys belong to the store.
"""

from __future__ import annotations

import datetime as dt
import math
from dataclasses import dataclass
from typing import Annotated, Generic, Literal, TypeVar

from pydantic import AfterValidator
from sqlmodel import SQLModel

from tracker.model.about import About
from tracker.model.text import checked_line, checked_note
from tracker.model.units import checked_course


def _filled(text: str) -> str:
    if not text:
        raise ValueError("is empty; type something")
    return text


def on_the_clock(text: str) -> str:
    """Return a time of day as it is, or empty; raises `ValueError` where it is neither."""
    try:
        if text:
            dt.time.fromisoformat(text)
    except ValueError:
        raise ValueError("is not a time of day; write it as 07:30") from None
    return text


def _hundredths(seconds: float) -> float:
    # a few thousandths of a second are no time either: kept to the hundredth they are nothing
    kept = round(seconds, 2) if math.isfinite(seconds) else 0.0
    if not 0 < kept < 360_000:
        raise ValueError("is not a time between 0 and 100 hours")
    return kept


Line = Annotated[str, AfterValidator(checked_line)]
"""One line of text, may be empty."""
Label = Annotated[str, AfterValidator(checked_line), AfterValidator(_filled)]
"""One line of text, not empty: a reviewer."""
Name = Annotated[
    Label,
    About(
        "the swimmer's label",
        value="NAME",
        hint="a name or pseudonym, unique",
        headers="name, who, full name, swimmer name, athlete, schwimmer, schwimmerin, athlet, athletin, nom, "
        "nageur, nageuse, nombre, nadador, nadadora, atleta, nome, nuotatore, nuotatrice",
        fixed=True,
    ),
]
"""A swimmer's label."""
Note = Annotated[str, AfterValidator(checked_note)]
"""Text of several lines."""
Remark = Annotated[
    Note,
    About(
        "anything else",
        headers="notes, comment, comments, remark, remarks, bemerkung, kommentar, remarque, commentaire, "
        "nota, notas, comentario, note, commento",
    ),
]
"""The note of a record, for whatever else there is to say."""
FirstDay = Annotated[
    dt.date,
    About("first day", name="from", column="from", empty="today", headers="from_date, start date, von"),
]
LastDay = Annotated[
    dt.date | None,
    About("last day", hint="last day, or empty", name="to", column="to", headers="to_date, end date, bis"),
]
"""None while it goes on."""
Day = Annotated[dt.date, About("day", empty="today")]
"""The day of an entry."""
Course = Annotated[str, AfterValidator(checked_course)]
ClockTime = Annotated[str, AfterValidator(on_the_clock), About(value="HH:MM", hint="HH:MM")]
"""HH:MM, or empty."""
Seconds = Annotated[float, AfterValidator(_hundredths), About(typed="time")]
"""A positive time in seconds, kept to the hundredth."""
Side = Annotated[Literal["", "left", "right"], About("left or right", value="S", hint="left, right or empty")]


class Record(SQLModel):
    """Base of all records; two records with equal fields are equal."""

    model_config = {"frozen": True, "extra": "forbid", "allow_inf_nan": False}


R = TypeVar("R", bound=Record)


@dataclass(frozen=True)
class StoredRow(Generic[R]):
    """A record with its row's number and version."""

    id: int
    version: int
    record: R
