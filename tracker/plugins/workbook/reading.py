"""A workbook (XLSX) to tables of text: checked before it is opened, nothing in it is ever run.

What may hurt is looked for first, in the packed file: size, declared and counted; documents with
a DTD; sheets that claim a million rows. Formulas are not evaluated, macros not touched.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import Any

from python_calamine import CalamineError, CalamineWorkbook, SheetTypeEnum, SheetVisibleEnum

from tracker.entry.cells import CLOCK
from tracker.entry.text_file import FileLimits, Sheet, check_size
from tracker.errors import BadFileError
from tracker.model.club_layout import cell_of
from tracker.model.text import clean_line
from tracker.model.units import format_time
from tracker.plugins.workbook.checks import check_workbook, is_our_workbook

_GHOST = dt.date(1900, 3, 1)
"""Before this the day numbers of spreadsheets are off by one: they count a 29 February 1900."""


def open_workbook(file: Path, limits: FileLimits) -> Iterator[tuple[Sheet, bool]]:
    """Give the visible sheets of a workbook, and whether we wrote it.

    Raises
    ------
    BadFileError
        If it is no workbook, is locked, too large, or built to do harm.
    """
    check_size(file, limits)
    check_workbook(file, limits)
    ours = is_our_workbook(file)
    try:
        book = CalamineWorkbook.from_path(str(file))
        for about in book.sheets_metadata:
            if about.visible != SheetVisibleEnum.Visible or about.typ != SheetTypeEnum.WorkSheet:
                continue
            rows = book.get_sheet_by_name(about.name).to_python(skip_empty_area=False)
            if rows:
                yield _sheet(f"{file.name}[{clean_line(about.name)}]", about.name, rows), ours
    except CalamineError as error:
        raise BadFileError(f"{file.name} cannot be read as a workbook: {clean_line(str(error))}") from None


def _sheet(name: str, stem: str, rows: Sequence[Sequence[Any]]) -> Sheet:
    header = tuple(cell_text(cell) for cell in rows[0])
    while header and not header[-1]:
        header = header[:-1]
    width = len(header)
    body = (
        (
            number,
            [cell_text(cell) for cell in row[:width]] + [cell_text(cell) for cell in row[width:] if cell],
        )
        for number, row in enumerate(rows[1:], start=2)
    )
    return Sheet(name, header, body, stem=stem.lower())


def cell_text(cell: object) -> str:
    """Return a typed cell as the text that a person would write for it.

    A time of day is marked as such: 6 min 45 s typed as 6:45 into a spreadsheet arrives as a
    quarter to seven, and only a person can tell.
    """
    if cell is None or cell == "":
        return ""
    if isinstance(cell, bool):
        return str(cell).upper()
    if isinstance(cell, (int, float)):
        return cell_of(float(cell), "number")
    if isinstance(cell, dt.timedelta):
        return _clock(cell.total_seconds())
    if isinstance(cell, dt.time):
        return _clock(cell.hour * 3600 + cell.minute * 60 + cell.second + cell.microsecond / 1e6)
    if isinstance(cell, dt.datetime):
        return cell.isoformat(timespec="minutes") if cell.time() != dt.time() else _day(cell.date())
    return _day(cell) if isinstance(cell, dt.date) else str(cell)


def _clock(seconds: float) -> str:
    if seconds <= 0:
        return "0:00"
    text = format_time(seconds)
    return text if seconds < 3600 else f"{text}{CLOCK}"


def _day(date: dt.date) -> str:
    return date.isoformat() if date > _GHOST else f"day number {(date - dt.date(1899, 12, 31)).days}"
