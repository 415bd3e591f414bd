"""Records to the club's CSV files, safe in a spreadsheet and exact on the way back."""

from __future__ import annotations

import csv
import io
import json
from collections.abc import Iterable
from pathlib import Path
from typing import Any

from tracker.output.whole_files import whole_file
from tracker.records.club_layout import MARK, SCHEMA, WRITER, CellForm, ClubFile, cell_of, form_of
from tracker.records.formula import guarded


def write_club_file(
    folder: Path, file: ClubFile, rows: Iterable[tuple[Any, ...]], *, force: bool = False
) -> int:
    """Write one file of the club (RFC 4180, UTF-8); return how many rows.

    Parameters
    ----------
    rows
        Values in the order of the record's fields.
    """
    forms = [form_of(file.kind, field) for field in file.columns.values()]
    count = 0
    with whole_file(folder / f"{file.stem}.csv", force=force) as stream:
        text = io.TextIOWrapper(stream, encoding="utf-8", newline="", write_through=False)
        writer = csv.writer(text, lineterminator="\r\n")
        writer.writerow(file.columns)
        for row in rows:
            writer.writerow([safe_cell(value, form) for value, form in zip(row, forms, strict=True)])
            count += 1
        text.flush()
        text.detach()
    return count


def safe_cell(value: object, form: CellForm) -> str:
    """Return a value as it stands in a cell that a spreadsheet may open."""
    cell = cell_of(value, form)
    return guarded(cell) if form == "text" else cell


def write_mark(folder: Path, *, force: bool = False) -> None:
    """Write the file that says that we wrote the folder; it holds no date, so equal clubs are equal."""
    mark = {"written_by": WRITER, "schema": SCHEMA}
    with whole_file(folder / MARK, force=force) as stream:
        stream.write((json.dumps(mark, indent=1) + "\n").encode())
