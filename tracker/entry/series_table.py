"""Any table of series (swimmer, date, pace) to clean columns; what can't be used is listed, never guessed."""

from __future__ import annotations

import datetime as dt
import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any, TypeVar

from tracker.entry.dates import checked_past, parse_file_date
from tracker.entry.times import parse_number, parse_time, shown
from tracker.errors import BadFileError, NotReadError, remedy_of
from tracker.model.base import on_the_clock
from tracker.model.text import clean_line
from tracker.model.units import checked_course
from tracker.remedies import Remedy

T = TypeVar("T")

REQUIRED = ("swimmer", "date", "pace")
OPTIONAL = ("test", "course", "suit", "weight", "at", "effort", "taper")


@dataclass(frozen=True)
class UnusedRow:
    """A row that can't be used. `row` counts the header as row 1; `file` is empty for the series itself."""

    row: int
    reason: str
    file: str = ""
    remedy: Remedy | None = None


@dataclass(frozen=True)
class SeriesTable:
    """Usable rows as columns of equal length; `pace` in seconds per 100 m, `effort` NaN where unknown."""

    swimmer: list[str]
    date: list[dt.date]
    pace: list[float]
    test: list[str]
    course: list[str]
    suit: list[str]
    weight: list[float]
    at: list[str]
    effort: list[float]
    taper: list[bool]


def read_series_table(
    columns: Mapping[str, Sequence[object]], *, date_format: str | None = None, today: dt.date | None = None
) -> tuple[SeriesTable, tuple[UnusedRow, ...]]:
    """Return the usable rows of a table, and the others with their reasons.

    Parameters
    ----------
    columns
        Column name -> cells (text, numbers or dates), all of one length.
    date_format
        Order of the date's parts where dates are not ISO 8601.
    today
        A test beyond tomorrow can't be used; default: any day can.

    Raises
    ------
    BadFileError
        If a required column is missing.
    """
    named = {clean_line(str(name)).strip().lower(): cells for name, cells in columns.items()}
    missing = [name for name in REQUIRED if name not in named]
    if missing:
        raise BadFileError(
            f"no column {' and no column '.join(missing)}: the header must name {', '.join(REQUIRED)} "
            f"(and may name {', '.join(OPTIONAL)})"
        )
    unused: list[UnusedRow] = []
    read: tuple[Callable[[str], Any], ...] = (
        clean_line,
        _remembered("date", lambda text: _swum_on(text, date_format, today)),
        _remembered("pace", parse_time),
        clean_line,
        _remembered("course", _course),
        _suit,
        _remembered("weight", lambda text: parse_time(text or "1")),
        _remembered("at", _clock),
        _remembered("effort", _effort),
        _remembered("taper", _taper),
    )
    table: list[list[Any]] = [[] for _ in read]
    blank = [""] * len(named["swimmer"])
    cells = [named.get(name, blank) for name in (*REQUIRED, *OPTIONAL)]
    for number, row in enumerate(zip(*cells, strict=True), start=2):
        texts = [_text(cell) for cell in row]
        if not any(texts[: len(REQUIRED)]):
            continue
        if not texts[0]:
            unused.append(UnusedRow(number, "no swimmer's name"))
            continue
        try:
            values = [parse(text) for parse, text in zip(read, texts, strict=True)]
        except ValueError as problem:
            unused.append(UnusedRow(number, str(problem), remedy=remedy_of(problem)))
            continue
        for column, value in zip(table, values, strict=True):
            column.append(value)
    return SeriesTable(*table), tuple(unused)


def _remembered(column: str, parse: Callable[[str], T]) -> Callable[[str], T]:
    """Return `parse` with a memory (long tables repeat the same few texts); its errors name the column."""
    known: dict[str, T] = {}

    def look_up(text: str) -> T:
        if text not in known:
            try:
                known[text] = parse(text)
            except ValueError as problem:
                raise NotReadError(f"{column} {problem}", remedy_of(problem)) from None
        return known[text]

    return look_up


def _swum_on(text: str, date_format: str | None, today: dt.date | None) -> dt.date:
    day = parse_file_date(text, date_format)
    return day if today is None else checked_past(day, today)


def _text(cell: object) -> str:
    """Return a cell as text; a missing value of any kind is empty."""
    if cell is None or (isinstance(cell, float) and math.isnan(cell)):
        return ""
    if isinstance(cell, dt.datetime):
        return "" if cell != cell else cell.date().isoformat()  # noqa: PLR0124 - NaT differs from itself
    if isinstance(cell, dt.date):
        return cell.isoformat()
    return str(cell).strip()


def _suit(text: str) -> str:
    return "" if text.lower() in {"", "none", "no"} else clean_line(text.lower())


def _clock(text: str) -> str:
    try:
        return on_the_clock(text)
    except ValueError as wrong:
        raise ValueError(f"{shown(text)} {wrong}") from None


def _effort(text: str) -> float:
    """Return how hard a swim was, 1 to 10; NaN where nothing is said."""
    if not text:
        return math.nan
    effort = parse_number(text)
    if effort not in range(1, 11):
        raise ValueError(f"{shown(text)} is not a whole number from 1 to 10")
    return effort


def _taper(text: str) -> bool:
    if text.lower() not in {"", "no", "yes"}:
        raise ValueError(f"{shown(text)} is neither yes nor empty")
    return text.lower() == "yes"


def _course(text: str) -> str:
    """Return a course as we write it; a name we don't know only separates, so it stays."""
    try:
        return checked_course(text) if text else ""
    except ValueError:
        return clean_line(text)
