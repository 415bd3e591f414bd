"""Import a club's files: one transaction, one undo; refused or doubtful rows are reported."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

from tracker.app.import_defaults import CoursesOnRecord, only_swimmer
from tracker.app.import_plan import Plan, plan_import
from tracker.app.session import Session
from tracker.app.swim_tests import find_definition, list_tests
from tracker.app.swims import DoubtfulSwim
from tracker.entry.club_files import ClubTable, Reading, read_club_files
from tracker.entry.headers import NO_MAP, ColumnMap, quoted_header
from tracker.entry.text_file import FileLimits
from tracker.errors import EntryError, Problem
from tracker.model.about import fields_of
from tracker.model.club_layout import FILES
from tracker.model.practices import Caution
from tracker.model.text import clean_line, name_key
from tracker.model.units import checked_course
from tracker.output.sentences.data import KINDS
from tracker.output.sentences.numbers import count
from tracker.remedies import Mend, Remark
from tracker.store.writing import Writer
from tracker.technique.cautions import FREE_TEXT, codes_in


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
    unread
        That a file has not given a single row, what its header is, and how to mend it; else None.
    cautions
        Swimmers, and the cautions that the words of their new rows call for.
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
    unread: Remark | None = None
    cautions: tuple[tuple[str, tuple[Caution, ...]], ...] = ()

    @property
    def refused(self) -> int:
        """Rows refused."""
        return len({(problem.file, problem.row) for problem in self.problems})


def import_club(  # noqa: PLR0913 - each its own switch, all by keyword
    session: Session,
    path: Path,
    *,
    dry_run: bool = False,
    strict: bool = False,
    date_format: str | None = None,
    columns: ColumnMap = NO_MAP,
    clock: str = "",
    swimmer: str = "",
    test: str = "",
    course: str = "",
    max_rows: int = FileLimits.rows,
    max_size_mb: float = FileLimits.megabytes,
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
    swimmer, test, course
        What stands for the cells of swims that say none. Without a column for the swimmer and without
        `swimmer` the swims are those of the only swimmer there is.
    max_rows, max_size_mb
        Limits of one file.

    Raises
    ------
    BadFileError
        If a file can't be read at all; nothing is stored.
    UnknownNameError
        If there is no such test.
    DecisionNeededError
        If nothing says whose swims they are.
    """
    reading = Reading(
        FileLimits(rows=max_rows, megabytes=max_size_mb),
        date_format,
        columns,
        clock,
        given=_given(session, swimmer, test, course),
        whose=lambda: only_swimmer(session),
        tests=list_tests(session),
        course_of=CoursesOnRecord(session.store, session.settings),
    )
    tables = read_club_files(path, reading)
    if dry_run:
        with session.store.read() as reader:
            plan = plan_import(reader, tables, as_of=session.today, settings=session.settings)
        return _report(plan, stored=False, unread=_unread(path, tables, plan))
    with session.write(f"import {clean_line(path.name)}") as writer:
        plan = plan_import(writer, tables, as_of=session.today, settings=session.settings)
        unread = _unread(path, tables, plan)
        stored = not (unread or (strict and plan.problems))
        if stored:
            _write(writer, plan)
    return _report(plan, stored=stored, unread=unread)


def _given(session: Session, swimmer: str, test: str, course: str) -> dict[str, str]:
    """Return what was said beside the file, by the columns of swims, checked before a row is read."""
    given = {
        "swimmer": swimmer,
        "test": find_definition(session, test).test if test else "",
        "course": course,
    }
    if course:
        try:
            checked_course(course)
        except ValueError as wrong:
            raise EntryError((Problem("course", clean_line(course), str(wrong)),)) from None
    if swimmer:
        with session.store.read() as reader:
            labels = reader.labels(archived=True)
        given["swimmer"] = next((label for label in labels if name_key(label) == name_key(swimmer)), swimmer)
    return given


def _unread(path: Path, tables: Sequence[ClubTable], plan: Plan) -> Remark | None:
    """Return that a single file gave not one row; a folder of ours may well have empty files."""
    if path.is_dir() or any(table.rows for table in tables):
        return None
    table = tables[0]
    refused = len({(problem.file, problem.row) for problem in plan.problems})
    why = (
        f"all {count(refused, 'row')} refused"
        if refused > 1
        else "its row refused"
        if refused
        else "no row there"
    )
    return Remark(
        f"{table.name}: not one {KINDS[table.file.stem][0]} was read, {why}; the header is "
        f"{quoted_header(table.header)}; mend the rows",
        Mend.OR_MAP_COLUMNS,
    )


def _write(writer: Writer, plan: Plan) -> None:
    for file in FILES:
        rows = plan.new.get(file.kind, [])
        writer.add_rows(file.kind, rows, len(rows))
    for filling in plan.fillings:
        writer.change(filling.kind, filling.number, filling.version, **filling.fields)


def _report(plan: Plan, *, stored: bool, unread: Remark | None) -> ImportReport:
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
        unread=unread,
        cautions=_cautions(plan),
    )


def _cautions(plan: Plan) -> tuple[tuple[str, tuple[Caution, ...]], ...]:
    """Return whom the words of the new rows concern, with their cautions; each text is read once."""
    written: dict[str, dict[str, None]] = {}
    for kind, rows in plan.new.items():
        names = tuple(fields_of(kind))
        whose = names.index("swimmer") if "swimmer" in names else None
        free = [names.index(name) for name in FREE_TEXT if name in names]
        for row in rows:
            for text in filter(None, (row[at] for at in free)):
                written.setdefault(str(text), {})["" if whose is None else str(row[whose])] = None
    found = ((who, codes_in([text])) for text, swimmers in written.items() for who in swimmers)
    return tuple((who, codes) for who, codes in found if codes)
