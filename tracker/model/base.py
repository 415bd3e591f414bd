"""The record: a validated, frozen SQLModel data model, and the field types all records share.

A record names its swimmer by label, never by a key: keys belong to the store.
"""

from __future__ import annotations

import datetime as dt
import math
from enum import StrEnum
from typing import Annotated, Any, Literal, get_args, get_origin

from pydantic import AfterValidator
from sqlmodel import SQLModel

from tracker.model.text import checked_line, checked_note
from tracker.model.units import checked_course


def _filled(text: str) -> str:
    if not text:
        raise ValueError("is empty; type something")
    return text


def _on_the_clock(text: str) -> str:
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
"""One line of text, not empty: a swimmer's label, a reviewer."""
Note = Annotated[str, AfterValidator(checked_note)]
"""Text of several lines."""
Course = Annotated[str, AfterValidator(checked_course)]
ClockTime = Annotated[str, AfterValidator(_on_the_clock)]
"""HH:MM, or empty."""
Seconds = Annotated[float, AfterValidator(_hundredths)]
"""A positive time in seconds, kept to the hundredth."""
Side = Literal["", "left", "right"]


def words_of(annotation: Any) -> tuple[str, ...]:  # noqa: ANN401 - a type
    """Return the words of a closed vocabulary, a `Literal` or a `StrEnum`; none for any other type."""
    if get_origin(annotation) is Literal:
        return get_args(annotation)
    if isinstance(annotation, type) and issubclass(annotation, StrEnum):
        return tuple(word.value for word in annotation)
    return ()


class Record(SQLModel):
    """Base of all records; two records with equal fields are equal."""

    model_config = {"frozen": True, "extra": "forbid", "allow_inf_nan": False}
