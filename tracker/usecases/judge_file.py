"""Verdicts for a file of series; no limit of rows or size, everything read as text."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace
from pathlib import Path
from typing import get_args

from tracker.entry.dates import parse_date
from tracker.entry.series_table import Unused
from tracker.entry.text_file import FileLimits, Sheet, open_text_file
from tracker.entry.times import shown
from tracker.errors import BadFileError
from tracker.records.event_kinds import JUMP_KINDS, EventKind
from tracker.records.text import clean_line
from tracker.settings import Settings
from tracker.usecases.judge import Judged, judge_columns

_NO_LIMIT = FileLimits(rows=1 << 62, megabytes=float("inf"), columns=10_000)
_NUMBERS = ("pace", "weight")
KINDS = get_args(EventKind)


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
    columns, too_wide = _columns(sheet)
    jumps, unused = ({}, ()) if events is None else _jumps(events, date_format)
    judged = judge_columns(columns, events=jumps, date_format=date_format, as_of=as_of, settings=settings)
    listed = sorted((*judged.unused, *too_wide), key=lambda row: row.row)
    return replace(judged, unused=(*listed, *unused))


def _columns(sheet: Sheet) -> tuple[dict[str, list[str]], list[Unused]]:
    """Return the cells by column, and the rows that say more than the header: a decimal comma, as a rule.

    A short row ends in empty cells; a blank line, and a row not used, counts as a row of empty cells.
    """
    names = [clean_line(name).strip().lower() for name in sheet.header]
    twice = {name for name in names if names.count(name) > 1}
    if twice:
        raise BadFileError(f"{sheet.name}: the header names {min(twice)!r} twice")
    columns: dict[str, list[str]] = {name: [] for name in names}
    too_wide: list[Unused] = []
    width, expected = len(names), 2
    for number, cells in sheet.rows:
        # Row numbers are those of the file, so that what is reported can be found in it.
        for _ in range(number - expected):
            for column in columns.values():
                column.append("")
        expected = number + 1
        ragged = any(cells[width:])
        if ragged:
            too_wide.append(Unused(number, f"the row has {len(cells)} cells, the header {width}"))
        padded = [*([] if ragged else cells), *[""] * width]
        for name, cell in zip(names, padded, strict=False):
            columns[name].append(cell.replace(",", ".") if sheet.comma and name in _NUMBERS else cell)
    return columns, too_wide


def _jumps(file: Path, date_format: str | None) -> tuple[dict[str, list[dt.date]], tuple[Unused, ...]]:
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
    unused = [Unused(row.row, f"{sheet.name}, {row.why}") for row in too_wide]
    for number, (begins, ends, whose, kind) in enumerate(zip(*cells, strict=True), start=2):
        if not (begins or whose):
            continue
        named = kind.strip().lower()
        if named and named not in KINDS:
            unused.append(Unused(number, f"{sheet.name}, kind {shown(kind)} is none of {', '.join(KINDS)}"))
            continue
        if named and named not in JUMP_KINDS:
            continue
        try:
            day = parse_date(ends or begins, date_format)
        except ValueError as wrong:
            unused.append(Unused(number, f"{sheet.name}, {'to' if ends else 'from'} {wrong}"))
            continue
        found.setdefault(clean_line(whose.strip()), []).append(day)
    return found, tuple(unused)
