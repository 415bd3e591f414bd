"""Verdicts for a file of series; no limit of rows or size, everything read as text."""

from __future__ import annotations

import datetime as dt
from collections.abc import Collection
from dataclasses import replace
from pathlib import Path

from tracker.app.judge import Judged, judge_columns
from tracker.entry.dates import parse_file_date
from tracker.entry.series_table import UnusedRow
from tracker.entry.text_file import FileLimits, Sheet, open_text_file
from tracker.entry.times import shown
from tracker.errors import BadFileError, NotReadError, remedy_of
from tracker.model.event_kinds import JUMP_KINDS, EventKind, kind_of
from tracker.model.text import clean_line
from tracker.settings import Settings

_NO_LIMIT = FileLimits(rows=1 << 62, megabytes=float("inf"), columns=10_000)
_NUMBERS = ("pace", "weight", "effort")


def judge_file(
    file: Path,
    *,
    events: Path | None = None,
    date_format: str | None = None,
    as_of: dt.date | None = None,
    today: dt.date | None = None,
    settings: Settings,
) -> Judged:
    """Return a verdict for every swimmer of a CSV with the columns swimmer, date, pace.

    Parameters
    ----------
    events
        A CSV with the columns from, to, swimmer, kind: when a lay-off, illness or injury is over the
        level may jump. A row that can't be used is listed with its file.
    date_format
        Order of day, month and year where dates are not ISO 8601.
    as_of
        Each verdict is as of the swimmer's last test on or before this day; default: the last.
    today
        A test beyond tomorrow is listed, not used; default: any day is used.

    Raises
    ------
    BadFileError
        If a file cannot be read, or lacks a column.
    """
    sheet = open_text_file(file, _NO_LIMIT)
    columns, too_wide = _columns(sheet)
    names = {clean_line(name.strip()) for name in columns.get("swimmer", ())} - {""}
    jumps, unused = ({}, ()) if events is None else _jumps(events, names, date_format)
    judged = judge_columns(
        columns, events=jumps, date_format=date_format, as_of=as_of, today=today, settings=settings
    )
    listed = sorted((*judged.unused, *too_wide), key=lambda row: row.row)
    return replace(judged, unused=(*listed, *unused))


def _columns(sheet: Sheet) -> tuple[dict[str, list[str]], list[UnusedRow]]:
    """Return the cells by column, and the rows that say more than the header: a decimal comma, as a rule.

    A short row ends in empty cells; a blank line, and a row not used, counts as a row of empty cells.
    """
    names = [clean_line(name).strip().lower() for name in sheet.header]
    twice = {name for name in names if names.count(name) > 1}
    if twice:
        raise BadFileError(f"{sheet.name}: the header names {min(twice)!r} twice")
    columns: dict[str, list[str]] = {name: [] for name in names}
    too_wide: list[UnusedRow] = []
    width, expected = len(names), 2
    for number, cells in sheet.rows:
        # Row numbers are those of the file, so that what is reported can be found in it.
        for _ in range(number - expected):
            for column in columns.values():
                column.append("")
        expected = number + 1
        ragged = any(cells[width:])
        if ragged:
            too_wide.append(UnusedRow(number, f"the row has {len(cells)} cells, the header {width}"))
        padded = [*([] if ragged else cells), *[""] * width]
        for name, cell in zip(names, padded, strict=False):
            columns[name].append(cell.replace(",", ".") if sheet.comma and name in _NUMBERS else cell)
    return columns, too_wide


def _jumps(
    file: Path, names: Collection[str], date_format: str | None
) -> tuple[dict[str, list[dt.date]], tuple[UnusedRow, ...]]:
    """Return for each swimmer the days on which a lay-off or the like was over, and the rows not used."""
    sheet = open_text_file(file, _NO_LIMIT)
    columns, too_wide = _columns(sheet)
    missing = [name for name in ("from", "swimmer") if name not in columns]
    if missing:
        raise BadFileError(
            f"{sheet.name}: no column {missing[0]}; the header must name from, to, swimmer, kind"
        )
    blank = [""] * len(columns["from"])
    cells = (columns.get(name, blank) for name in ("from", "to", "swimmer", "kind"))
    found: dict[str, list[dt.date]] = {}
    unused = [replace(row, file=str(file)) for row in too_wide]
    for number, row in enumerate(zip(*cells, strict=True), start=2):
        begins, ends, whose, kind = (cell.strip() for cell in row)
        if not (begins or ends or whose or kind):
            continue
        try:
            if not _may_jump(kind.lower()):
                continue
            name = _one_of(names, clean_line(whose))
            found.setdefault(name, []).append(_over(begins, ends, date_format))
        except ValueError as wrong:
            unused.append(UnusedRow(number, str(wrong), str(file), remedy_of(wrong)))
    return found, tuple(sorted(unused, key=lambda row: row.row))


def _may_jump(kind: str) -> bool:
    if kind and kind_of(kind) is None:
        raise ValueError(f"kind {shown(kind)} is none of {', '.join(EventKind)}")
    return not kind or kind in JUMP_KINDS


def _one_of(names: Collection[str], whose: str) -> str:
    if not whose:
        raise ValueError("no swimmer's name")
    if whose not in names:
        near = sorted(name for name in names if name.casefold() == whose.casefold())
        said = f"; did you mean {' or '.join(near)}?" if near else ""
        raise ValueError(f"swimmer {shown(whose)} has no test in the series{said}")
    return whose


def _over(begins: str, ends: str, date_format: str | None) -> dt.date:
    """Return the day on which an event was over; one without an end was over on the day it began."""
    days = []
    for column, text in (("from", begins), ("to", ends)):
        if column == "from" or text:
            try:
                days.append(parse_file_date(text, date_format))
            except ValueError as wrong:
                raise NotReadError(f"{column} {wrong}", remedy_of(wrong)) from None
    if days[-1] < days[0]:
        raise ValueError(f"to {shown(ends)} lies before the beginning, {shown(begins)}")
    return days[-1]
