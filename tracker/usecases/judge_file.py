"""Verdicts for a file of series; no limit of rows or size, everything read as text."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace
from pathlib import Path

from tracker.entry.dates import parse_date
from tracker.entry.series_table import Unused
from tracker.entry.text_file import FileLimits, Sheet, open_text_file
from tracker.errors import BadFileError
from tracker.records.event_kinds import JUMP_KINDS
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
        A CSV with the columns from, to, swimmer, kind: when a lay-off, illness or injury is over the
        level may jump. A row that can't be used is listed.
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
    jumps, unused = ({}, ()) if events is None else _jumps(events, date_format)
    judged = judge_columns(columns, events=jumps, date_format=date_format, as_of=as_of, settings=settings)
    return replace(judged, unused=(*judged.unused, *unused))


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


def _jumps(file: Path, date_format: str | None) -> tuple[dict[str, list[dt.date]], tuple[Unused, ...]]:
    """Return for each swimmer the days on which a lay-off or the like was over, and the rows not used."""
    sheet = open_text_file(file, _NO_LIMIT)
    columns = _columns(sheet)
    missing = [name for name in ("from", "swimmer") if name not in columns]
    if missing:
        raise BadFileError(
            f"{sheet.name}: no column {missing[0]}; the header must name from, to, swimmer, kind"
        )
    blank = [""] * len(columns["from"])
    cells = (columns.get(name, blank) for name in ("from", "to", "swimmer", "kind"))
    found: dict[str, list[dt.date]] = {}
    unused: list[Unused] = []
    for number, (begins, ends, whose, kind) in enumerate(zip(*cells, strict=True), start=2):
        if not (begins or whose):
            continue
        if kind.strip().lower() not in {"", *JUMP_KINDS}:
            continue
        try:
            day = parse_date(ends or begins, date_format)
        except ValueError as wrong:
            unused.append(Unused(number, f"{sheet.name}, {'to' if ends else 'from'} {wrong}"))
            continue
        found.setdefault(clean_line(whose.strip()), []).append(day)
    return found, tuple(unused)
