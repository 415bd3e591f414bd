"""Files of a club to rows that obey the records' rules; every other row is reported with its cell."""

from __future__ import annotations

import json
from collections.abc import Callable, Iterator, Mapping, Sequence
from contextlib import closing
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from tracker.entry.cells import Column, CourseOf, SwimRows, configured_course
from tracker.entry.headers import NO_MAP, ColumnMap, Header, UnknownHeaderError, quoted_header, understood
from tracker.entry.text_file import FileLimits, OpenWorkbook, Sheet, open_text_file
from tracker.errors import BadFileError, DecisionNeededError, Problem, remedy_of
from tracker.model.club_layout import FILES, MARK, WRITER, ClubFile
from tracker.model.swim import Swim
from tracker.model.swim_test import BUILT_IN, SwimTest
from tracker.model.text import clean_line
from tracker.plugin_registry import load_plugin
from tracker.remedies import Mend

Values = tuple[Any, ...]
"""A record's values in the order of its fields."""


@dataclass
class ClubTable:
    """One file read.

    Attributes
    ----------
    rows, numbers
        The rows that obey the record's rule, and where each stands (the header is row 1).
    problems
        Cells for which a row was refused.
    remarks
        What else a person should know: columns ignored, characters replaced.
    """

    name: str
    file: ClubFile
    rows: list[Values] = field(default_factory=list)
    numbers: list[int] = field(default_factory=list)
    problems: list[Problem] = field(default_factory=list)
    remarks: list[Problem] = field(default_factory=list)
    header: tuple[str, ...] = ()


def _nobody() -> str:
    raise DecisionNeededError("no column says whose each swim is; name the swimmer")


@dataclass(frozen=True)
class Reading:
    """How files are read.

    Attributes
    ----------
    given
        Column of swims -> the text that stands for it in every row that says nothing.
    whose
        Gives the swimmer of a table of swims that names none, or raises what is to be done.
    tests
        All test definitions beside those of the files.
    course_of
        Gives the course of a swim that names none.
    """

    limits: FileLimits = field(default_factory=FileLimits)
    date_order: str | None = None
    columns: ColumnMap = NO_MAP
    clock: str = ""
    given: Mapping[str, str] = field(default_factory=dict)
    whose: Callable[[], str] = _nobody
    tests: Sequence[SwimTest] = BUILT_IN
    course_of: CourseOf = configured_course


def read_club_files(path: Path, reading: Reading) -> list[ClubTable]:
    """Read a folder of club files, or one file of any of these kinds.

    Raises
    ------
    BadFileError
        If there is nothing to read, or a file can't be read at all.
    """
    if path.is_dir():
        files = [found for file in FILES if (found := _found(path, file.stem)) is not None]
        if not files:
            names = ", ".join(f"{file.stem}.csv" for file in FILES)
            raise BadFileError(f"{path} holds none of {names}")
    elif path.exists():
        files = [path]
    else:
        raise BadFileError(f"there is no file or folder {path}")
    tables: list[ClubTable] = []
    tests: dict[str, SwimTest] = {test.test: test for test in reading.tests}
    for source in files:
        tables += _read(source, reading, tests)
    stems = [file.stem for file in FILES]
    return sorted(tables, key=lambda table: stems.index(table.file.stem))


def _read(source: Path, reading: Reading, tests: dict[str, SwimTest]) -> list[ClubTable]:
    """Read one file; a workbook may have sheets that are not ours beside one that is."""
    tables: list[ClubTable] = []
    strange: list[UnknownHeaderError] = []
    for sheet, guarded in _sheets(source, reading):
        try:
            with closing(sheet.rows):
                table = _table(sheet, reading, tests, guarded=guarded)
        except UnknownHeaderError as unknown:
            strange.append(unknown)
            continue
        tables.append(table)
        if table.file.kind is SwimTest:
            made = (SwimTest(**dict(zip(table.file.columns, row, strict=True))) for row in table.rows)
            tests |= {test.test: test for test in made}
    if not tables:
        raise strange[0] if strange else BadFileError(f"{source.name} has no visible sheet with a table")
    tables[0].remarks += [
        Problem("", "", str(unknown), file=source.name, remedy=unknown.remedy) for unknown in strange
    ]
    return tables


def is_ours(folder: Path) -> bool:
    """Return whether the mark in a folder says that we wrote its files."""
    try:
        mark = json.loads((folder / MARK).read_text(encoding="utf-8"))
    except (OSError, ValueError):
        return False
    return isinstance(mark, dict) and mark.get("written_by") == WRITER


def _found(folder: Path, stem: str) -> Path | None:
    for ending in (".csv", ".xlsx"):
        file = folder / f"{stem}{ending}"
        if file.exists():
            return file
    return None


def _sheets(file: Path, reading: Reading) -> Iterator[tuple[Sheet, bool]]:
    """Give the tables of a file, and whether their text has our apostrophes."""
    if file.suffix.lower() in {".xlsx", ".xlsm", ".xls", ".ods"}:
        open_workbook: OpenWorkbook = load_plugin("read workbook").open_workbook
        yield from open_workbook(file, reading.limits)
    else:
        yield open_text_file(file, reading.limits), is_ours(file.parent)


def _table(sheet: Sheet, reading: Reading, tests: Mapping[str, SwimTest], *, guarded: bool) -> ClubTable:
    chosen = reading.columns
    header = understood(
        sheet.name, sheet.header, chosen.columns, stem=sheet.stem, only=chosen.file, fixed=tuple(chosen.fixed)
    )
    table = ClubTable(sheet.name, header.file, header=sheet.header)
    table.remarks += [Problem("", "", said, file=sheet.name) for said in sheet.remarks]
    table.remarks += [
        Problem(name, "", f"read as '{column}'", 1, sheet.name) for name, column in header.read_as.items()
    ]
    table.remarks += [Problem(name, "", "unknown column, ignored", 1, sheet.name) for name in header.ignored]
    kind = header.file.kind
    fixed = {**chosen.fixed, **(_given(table, header, reading) if kind is Swim else {})}
    order = reading.date_order or chosen.date_format or None
    columns = {
        name: Column(
            kind, name, order=order, comma=sheet.comma, guarded=guarded, clock=reading.clock or chosen.clock
        )
        for name in kind.model_fields
    }
    for column, text in fixed.items():
        if column in header.file.columns:
            columns[header.file.columns[column]].stand_in(text)
    rows = None
    if kind is Swim:
        columns["distance_m"].needed = columns["time_s"].needed = False
        if "course" not in fixed:
            columns["course"].default = None
        yards = chosen.distance_unit == "yards"
        rows = SwimRows(list(columns), tests, reading.course_of, yards=yards)
    _fill(table, sheet, header, columns, rows)
    if rows is not None and rows.unnamed:
        taken = ", ".join(f"{number} as {course}" for course, number in rows.unnamed.items())
        said = f"rows that name none were taken: {taken}"
        table.remarks.append(Problem("course", "", said, file=sheet.name, remedy=Mend.NAME_COURSE))
    return table


def _given(table: ClubTable, header: Header, reading: Reading) -> dict[str, str]:
    """Return what stands for the cells in which swims say nothing: as given, and whose they are.

    Raises
    ------
    BadFileError
        If nothing says what was swum.
    """
    given = {column: text for column, text in reading.given.items() if text.strip()}
    there = {*header.positions, *reading.columns.fixed, *given}
    if not there & {"test", "distance_m"}:
        raise BadFileError(
            f"{table.name}:1: the header {quoted_header(table.header)} names no distance and no test",
            Mend.NAME_TEST,
        )
    if "swimmer" not in there:
        given["swimmer"] = reading.whose()
        said = f"no column says whose the swims are; all are taken as those of {given['swimmer']}"
        table.remarks.append(Problem("", "", said, file=table.name))
    return given


def _fill(
    table: ClubTable, sheet: Sheet, header: Header, columns: Mapping[str, Column], swims: SwimRows | None
) -> None:
    """Read the rows; a row is refused with every cell that is wrong in it."""
    width = len(sheet.header)
    readers = list(columns.values())
    positions = [header.positions.get(name, width) for name in columns]  # an absent column is an empty cell
    cleaned: list[str] = []
    for reader in readers:
        reader.cleaned = cleaned
    for number, cells in sheet.rows:
        if not _whole(cells, width, number, table):
            continue
        cells.append("")
        try:
            values = [reader[cells[place]] for reader, place in zip(readers, positions, strict=True)]
            if swims:
                values = swims.complete(values)
        except ValueError as wrong:
            cells_by_field = {name: cells[place] for name, place in zip(columns, positions, strict=True)}
            table.problems += _wrong(table, number, cells_by_field, columns, wrong)
        else:
            if cleaned:
                said = "control characters were replaced"
                table.remarks.append(Problem("", cleaned[0][:80], said, number, table.name))
            table.rows.append(tuple(values))
            table.numbers.append(number)
        cleaned.clear()


def _whole(cells: list[str], width: int, number: int, table: ClubTable) -> bool:
    """Return whether a row has its cells; report a ragged one, pass over an empty one."""
    if not any(cells):
        return False
    if len(cells) == width:
        return True
    reason = f"the row has {len(cells)} cells, the header {width}"
    table.problems.append(Problem("", "", reason, number, table.name))
    return False


def _wrong(
    table: ClubTable,
    number: int,
    cells: Mapping[str, str],
    columns: Mapping[str, Column],
    otherwise: ValueError,
) -> list[Problem]:
    """Return every problem of a refused row; `otherwise` if no cell by itself is wrong."""
    names = {name: column for column, name in table.file.columns.items()}
    found = []
    for name, reader in columns.items():
        try:
            _ = reader[cells[name]]
        except ValueError as wrong:
            shown = clean_line(cells[name])[:80]
            remedy = remedy_of(wrong)
            found.append(Problem(names[name], shown, str(wrong), number, table.name, remedy=remedy))
    if not found:
        column, _, reason = str(otherwise).partition(": ")
        found.append(Problem(column, "", reason, number, table.name, remedy=remedy_of(otherwise)))
    return found
