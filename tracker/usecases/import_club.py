"""Import a club's files: one transaction, one undo; what is refused or doubtful is told, nothing guessed."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

from tracker.entry.club_files import Reading, read_club_files
from tracker.entry.column_map import NO_MAP, ColumnMap
from tracker.entry.text_file import FileLimits
from tracker.errors import Problem
from tracker.records.club_layout import FILES
from tracker.records.text import clean_line
from tracker.settings import Settings
from tracker.store.database import Store
from tracker.store.writing import Writer
from tracker.usecases.doubt_swims import DoubtfulSwim
from tracker.usecases.plan_import import Plan, plan_import


@dataclass(frozen=True)
class ImportReport:
    """What an import did, or in a dry run would do.

    Attributes
    ----------
    read
        File -> rows read.
    added
        Kind of record (file stem) -> rows added.
    filled
        Records of which empty fields were filled in.
    known
        Rows that were there already.
    created
        Swimmers made because rows name them.
    similar
        A new label, and the one that it looks like: perhaps one person, never merged unasked.
    problems
        Cells for which rows were refused.
    remarks
        What else to know about the files.
    doubts
        Swims stored that don't count until a person decides.
    stored
        Whether anything was written.
    """

    read: Mapping[str, int]
    added: Mapping[str, int]
    filled: int
    known: int
    created: tuple[str, ...]
    similar: tuple[tuple[str, str], ...]
    problems: tuple[Problem, ...]
    remarks: tuple[Problem, ...]
    doubts: tuple[DoubtfulSwim, ...]
    stored: bool

    @property
    def refused(self) -> int:
        """Rows refused."""
        return len({(problem.file, problem.row) for problem in self.problems})


def import_club(  # noqa: PLR0913 - each its own switch, all by keyword
    store: Store,
    path: Path,
    *,
    dry_run: bool = False,
    strict: bool = False,
    date_format: str | None = None,
    columns: ColumnMap = NO_MAP,
    clock: str = "",
    max_rows: int = FileLimits.rows,
    max_size_mb: float = FileLimits.megabytes,
    as_of: dt.date,
    settings: Settings,
    who: str,
    at: dt.datetime,
) -> ImportReport:
    """Import a folder of club files, or one file of any of these kinds.

    Parameters
    ----------
    dry_run
        Look only; the report is the same.
    strict
        Store nothing if a single row is refused.
    date_format
        Order of the date's parts where dates are not ISO 8601.
    columns
        What the file's columns mean, where their names don't say it.
    clock
        What a workbook's 6:45 means in a column of times: "minutes" or "hours"; else it is refused.
    max_rows, max_size_mb
        Limits of one file.

    Raises
    ------
    BadFileError
        If a file can't be read at all; nothing is stored.
    """
    reading = Reading(FileLimits(rows=max_rows, megabytes=max_size_mb), date_format, columns, clock)
    tables = read_club_files(path, reading)
    if dry_run:
        with store.read() as reader:
            return _report(plan_import(reader, tables, as_of=as_of, settings=settings), stored=False)
    with store.write(who=who, what=f"import {clean_line(path.name)}", at=at) as writer:
        plan = plan_import(writer, tables, as_of=as_of, settings=settings)
        if not (strict and plan.problems):
            _write(writer, plan)
    return _report(plan, stored=not (strict and plan.problems))


def _write(writer: Writer, plan: Plan) -> None:
    for file in FILES:
        rows = plan.new.get(file.kind, [])
        writer.add_rows(file.kind, rows, len(rows))
    for filling in plan.fillings:
        writer.change(filling.kind, filling.number, filling.version, **filling.fields)


def _report(plan: Plan, *, stored: bool) -> ImportReport:
    stems = {file.kind: file.stem for file in FILES}
    return ImportReport(
        read=plan.read,
        added={stems[kind]: len(rows) for kind, rows in plan.new.items() if rows},
        filled=len(plan.fillings),
        known=plan.known,
        created=tuple(plan.created),
        similar=tuple(plan.similar),
        problems=tuple(plan.problems),
        remarks=tuple(plan.remarks),
        doubts=tuple(plan.doubts),
        stored=stored,
    )
