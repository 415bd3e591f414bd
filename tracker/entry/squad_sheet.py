"""The poolside sheet: one test and one day, a row a swimmer; printed blank, read when filled."""

from __future__ import annotations

import csv
import datetime as dt
import io
from collections.abc import Iterable, Sequence
from pathlib import Path
from typing import assert_never

from tracker.entry.swim_form import CIRCUMSTANCES, TypedTest
from tracker.entry.text_file import FileLimits, open_text_file
from tracker.errors import BadFileError
from tracker.model.swim_test import SwimTest
from tracker.model.text import clean_line
from tracker.model.vocabularies import SwimTestKind
from tracker.remedies import Mend

_NAME_OF = {name: field.name for field in CIRCUMSTANCES for name in (field.own, field.name)}
_BESIDE = ("strokes", "rate", "effort", "note")
_NEEDED = ("swimmer", "test", "date")


def blank_sheet(definition: SwimTest, swimmers: Iterable[str], day: dt.date, repeats: int = 10) -> str:
    """Return the sheet as CSV, a row a swimmer, ready to print or to fill in.

    Parameters
    ----------
    definition
        What will be swum; a column for each of its times, for "repeats" the set and `repeats` times.
    """
    text = io.StringIO()
    writer = csv.writer(text, lineterminator="\n")
    columns = _time_columns(definition, repeats)
    writer.writerow((*_NEEDED, *columns, *_BESIDE))
    blank = [""] * (len(columns) + len(_BESIDE))
    writer.writerows([name, definition.test, day.isoformat(), *blank] for name in swimmers)
    return text.getvalue()


def _time_columns(definition: SwimTest, repeats: int) -> list[str]:
    match definition.kind:
        case SwimTestKind.DURATION:
            return ["distance"]
        case SwimTestKind.REPEATS:
            return ["set", *(f"time {number}" for number in range(1, repeats + 1))]
        case SwimTestKind.DISTANCES:
            return [f"time {distance}" for distance in definition.distances.split()]
        case other:
            assert_never(other)


def read_sheet(
    file: Path, *, date: str = "", course: str = "", accepted: bool = False
) -> tuple[TypedTest, ...]:
    """Return the rows of a filled sheet in which a time stands.

    Columns are ``swimmer``, ``test``, ``date``, then those whose names begin with "set",
    "distance" or "time", in order, and any of the names of `CIRCUMSTANCES`.

    Parameters
    ----------
    date, course
        As typed on the command line; they stand for empty cells.
    accepted
        Whether a person has said that what is implausible is right.

    Raises
    ------
    BadFileError
        If the file cannot be read, lacks a column, names one nobody knows, or holds no time.
    """
    sheet = open_text_file(file, FileLimits())
    names = [clean_line(name).strip().lower() for name in sheet.header]
    times = [place for place, name in enumerate(names) if name.split(" ")[0] in {"set", "distance", "time"}]
    _check_header(sheet.name, names, times)
    found = []
    for number, cells in sheet.rows:
        row = [cell.strip() for cell in cells] + [""] * (len(names) - len(cells))
        typed = tuple(row[place] for place in times if row[place])
        if not typed:
            continue
        named = dict(zip(names, row, strict=False))
        if not named["swimmer"] or not named["test"]:
            raise BadFileError(f"{sheet.name}:{number}: a time without a swimmer or a test")
        form = {_NAME_OF[name]: cell for name, cell in named.items() if name in _NAME_OF}
        form["date"] = form.get("date", "") or date
        form["course"] = form.get("course", "") or course
        found.append(TypedTest(named["swimmer"], named["test"], typed, form, accepted))
    if not found:
        raise BadFileError(f"{sheet.name} holds no time")
    return tuple(found)


def _check_header(file: str, names: Sequence[str], times: Sequence[int]) -> None:
    lacking = [name for name in ("swimmer", "test") if name not in names]
    if lacking or not times:
        name = lacking[0] if lacking else "time"
        raise BadFileError(f"{file} has no column {name}", Mend.BLANK_SHEET)
    known = {*_NAME_OF, *_NEEDED}
    strange = [name for place, name in enumerate(names) if name not in known and place not in times]
    if strange:
        raise BadFileError(f"{file}: no column is called {strange[0]!r} here")
    twice = [name for name in names if names.count(name) > 1]
    if twice:
        raise BadFileError(f"{file}: the header names {twice[0]!r} twice")
