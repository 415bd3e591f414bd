"""Write the club as CSV or JSON lines, and one person's data as a folder."""

from __future__ import annotations

import csv
import datetime as dt
import io
import json
import secrets
import shutil
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any, Final

from tracker.errors import SlackwaterError, UsageError
from tracker.model.about import CellForm, form_of
from tracker.model.club_layout import FILES, MARK, SCHEMA, WRITER, ClubFile, cell_of
from tracker.model.text import guarded
from tracker.output.sentences.people import PersonSummary, person_summary
from tracker.output.whole_files import private_folder, whole_file
from tracker.remedies import Mend

JSON_LINES_NAME = "club.jsonl"


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


JSON, SUMMARY, HISTORY = "person.json", "summary.txt", "history.csv"
TARGETS: Final = (*(f"{file.stem}.csv" for file in FILES), MARK, JSON, SUMMARY, HISTORY)
_HISTORY_COLUMNS: Final = ("at", "who", "what", "state")


@dataclass(frozen=True)
class PersonFiles:
    """What goes into the folder.

    Attributes
    ----------
    rows
        Stem of a club's file -> its rows, values in the order of the record's fields.
    history
        Entries of the log of changes, oldest first, with the columns at, who, what, state.
    everything
        What `person.json` holds beside the history.
    told
        What the summary is made from.
    """

    rows: Mapping[str, Sequence[tuple[Any, ...]]]
    history: Sequence[Mapping[str, str]]
    everything: Mapping[str, Any]
    summary: PersonSummary


def check_free(folder: Path, *, force: bool) -> None:
    """Raise `UsageError` if a file is there already and `force` is not given."""
    there = [folder / target for target in TARGETS if (folder / target).exists()]
    if there and not force:
        raise UsageError(f"{there[0]} exists already", Mend.REPLACE)


def write_person(folder: Path, files: PersonFiles, *, force: bool = False) -> dict[str, int]:
    """Write the folder, a new one whole or not at all; return file -> rows (1 for a text).

    Raises
    ------
    UsageError
        If a file is there already and `force` is not given.
    SlackwaterError
        If a file cannot be written.
    """
    check_free(folder, force=force)
    if folder.exists():
        return _write(folder, files, force=force)
    stage = folder.with_name(f".{folder.name[:80]}.{secrets.token_hex(4)}.part")
    try:
        private_folder(stage)
        written = _write(stage, files, force=force)
        stage.rename(folder)
    except OSError as error:
        raise SlackwaterError(f"cannot write {folder}: {error.strerror or error}") from None
    finally:
        shutil.rmtree(stage, ignore_errors=True)
    return written


def _write(folder: Path, files: PersonFiles, *, force: bool) -> dict[str, int]:
    written = {
        f"{file.stem}.csv": write_club_file(folder, file, files.rows.get(file.stem, ()), force=force)
        for file in FILES
    }
    write_mark(folder, force=force)
    everything = {"schema": 1, **files.everything, "history": files.history}
    text = json.dumps(everything, ensure_ascii=False, allow_nan=False, indent=1, default=dt.date.isoformat)
    _write_text(folder / HISTORY, _table(files.history), force=force)
    _write_text(folder / JSON, f"{text}\n", force=force)
    _write_text(folder / SUMMARY, person_summary(files.summary), force=force)
    return {**written, HISTORY: len(files.history), JSON: 1, SUMMARY: 1}


def _table(history: Sequence[Mapping[str, str]]) -> str:
    text = io.StringIO(newline="")
    writer = csv.writer(text, lineterminator="\r\n")
    writer.writerow(_HISTORY_COLUMNS)
    writer.writerows([guarded(line[column]) for column in _HISTORY_COLUMNS] for line in history)
    return text.getvalue()


def _write_text(path: Path, text: str, *, force: bool) -> None:
    with whole_file(path, force=force) as stream:
        stream.write(text.encode())


def lines_of(file: ClubFile, rows: Iterable[tuple[Any, ...]]) -> Iterator[str]:
    """Give one line a record: its kind, then its fields under the record's own names (units in them)."""
    fields = list(file.columns.values())
    for row in rows:
        record = {"record": file.stem, **dict(zip(fields, row, strict=True))}
        yield json.dumps(record, ensure_ascii=False, allow_nan=False, default=dt.date.isoformat)


def write_json_lines(folder: Path, lines: Iterable[str], *, force: bool = False) -> int:
    """Write the lines; return how many."""
    count = 0
    with whole_file(folder / JSON_LINES_NAME, force=force) as stream:
        for line in lines:
            stream.write(line.encode() + b"\n")
            count += 1
    return count
