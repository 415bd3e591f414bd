"""Verdicts for a file of series; no limit of rows or size, everything read as text."""

from __future__ import annotations

import datetime as dt
from pathlib import Path

from tracker.entry.dates import parse_date
from tracker.entry.text_file import FileLimits, Sheet, open_text_file
from tracker.errors import BadFileError
from tracker.records.text import clean_line
from tracker.settings import Settings
from tracker.usecases.judge import Judged, judge_columns

_NO_LIMIT = FileLimits(rows=1 << 62, megabytes=float("inf"), columns=10_000)
_NUMBERS = ("pace", "weight")


def judge_file(
    file: Path,
    *,
    events: Path | None = None,
    date_format: str | None = None,
    as_of: dt.date | None = None,
    settings: Settings,
) -> Judged:
    """Return a verdict for every swimmer of a CSV with the columns swimmer, date, pace.

    Parameters
    ----------
    events
        A CSV with the columns from, to, swimmer, kind: days at which a level may jump.
    date_format
        Order of day, month and year where dates are not ISO 8601.
    as_of
        Each verdict is as of the swimmer's last test on or before this day; default: the last.

    Raises
    ------
    BadFileError
        If a file cannot be read, or lacks a column.
    """
    sheet = open_text_file(file, _NO_LIMIT)
    columns = _columns(sheet)
    jumps = _jumps(events, date_format) if events is not None else None
    return judge_columns(columns, events=jumps, date_format=date_format, as_of=as_of, settings=settings)


def _columns(sheet: Sheet) -> dict[str, list[str]]:
    """Return the cells by column; a short row ends in empty cells, a blank line counts as a row."""
    names = [clean_line(name).strip().lower() for name in sheet.header]
    twice = {name for name in names if names.count(name) > 1}
    if twice:
        raise BadFileError(f"{sheet.name}: the header names {min(twice)!r} twice")
    columns: dict[str, list[str]] = {name: [] for name in names}
    width, expected = len(names), 2
    for number, cells in sheet.rows:
        # Row numbers are those of the file, so that what is reported can be found in it.
        for _ in range(number - expected):
            for column in columns.values():
                column.append("")
        expected = number + 1
        padded = [*cells, *[""] * (width - len(cells))]
        for name, cell in zip(names, padded, strict=False):
            columns[name].append(cell.replace(",", ".") if sheet.comma and name in _NUMBERS else cell)
    return columns


def _jumps(file: Path, date_format: str | None) -> dict[str, list[dt.date]]:
    """Return for each swimmer the days at which events begin."""
    sheet = open_text_file(file, _NO_LIMIT)
    names = [clean_line(name).strip().lower() for name in sheet.header]
    missing = [name for name in ("from", "swimmer") if name not in names]
    if missing:
        raise BadFileError(
            f"{sheet.name}: no column {missing[0]}; the header must name from, to, swimmer, kind"
        )
    begins, whose = names.index("from"), names.index("swimmer")
    found: dict[str, list[dt.date]] = {}
    for number, cells in sheet.rows:
        if len(cells) <= max(begins, whose):
            raise BadFileError(f"{sheet.name}:{number}: this row is too short")
        try:
            day = parse_date(cells[begins], date_format)
        except ValueError as wrong:
            raise BadFileError(f"{sheet.name}:{number}:from: {wrong}") from None
        found.setdefault(clean_line(cells[whose].strip()), []).append(day)
    return found
