"""Everything on record about one person, as a folder for them: CSV, JSON and a readable summary."""

from __future__ import annotations

import dataclasses
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from tracker.app.explain import explain, why
from tracker.app.session import Session
from tracker.model.club_layout import FILES
from tracker.model.fault import OwnFault
from tracker.model.swim_test import SwimTest
from tracker.model.swimmer import Consent
from tracker.output.as_json import line_json
from tracker.output.files import PersonFiles, check_free, write_person
from tracker.output.sentences.people import PersonSummary, health_note, held_line, seers_lines
from tracker.remedies import NO_SHELL, Wording
from tracker.settings import Settings
from tracker.store.personal_data import PersonalData, personal_data
from tracker.store.reading import Reader
from tracker.store.tables import TABLES
from tracker.technique.privacy import about_health, shown_label, without_health

_KINDS = {table.name: kind for kind, table in TABLES.items()}
_DATES = ("date", "from_date", "week")
_REVIEWED = ("review_item", "fault_step")
_FAULTY = ("fault_step", "work", "choice")


@dataclass(frozen=True)
class PersonExport:
    """What was written: file -> rows (1 for a text), and how many events about health were left out."""

    swimmer: str
    folder: Path
    written: Mapping[str, int]
    health_left_out: int
    noted: bool


def export_swimmer(
    session: Session,
    name: str,
    folder: Path,
    *,
    health: bool = False,
    force: bool = False,
    wording: Wording = NO_SHELL,
) -> PersonExport:
    """Write the folder; a new one appears whole or not at all.

    The CSV files are those of a club's folder with this person alone, so they import into any
    database. `health` puts illness and injury in as they are held; such a copy is for the person only.
    `wording` is how a shell says in the summary what can be done.

    Raises
    ------
    UnknownNameError
        If nobody is called so.
    UsageError
        If a file is there already and `force` is not given; then nothing is written.
    SlackwaterError
        If a file cannot be written.
    """
    check_free(folder, force=force)
    with session.store.read() as reader:
        label = reader.swimmer(name).record.swimmer
        found = personal_data(reader, label)
        hidden = 0 if health else sum(about_health(row["kind"]) for row in found.tables["event"])
        shown = dataclasses.replace(session.settings, health=health)
        if not health:
            found = _without_health(found, shown)
        rows = _rows(reader, found)
    seen = dataclasses.replace(session, settings=shown)
    line = why(seen, label).line
    summary = PersonSummary(
        label,
        session.today,
        _held(found),
        _seers(found, session.store.address),
        [Consent(**{field: row[field] for field in Consent.model_fields}) for row in found.tables["consent"]],
        explain(seen, label),
        [health_note(hidden, wording)] if hidden else [],
        wording,
    )
    history = [
        {"at": one.at.isoformat(), "who": one.who, "what": one.what, "state": one.state}
        for one in reversed(found.history)
    ]
    everything = {
        "as_of": session.today,
        "tables": found.tables,
        "kept_for_undo": found.undo,
        "verdict": line_json(line, session.today),
    }
    with session.store.noted_copy(folder, "export", session.now) as noted:
        written = write_person(folder, PersonFiles(rows, history, everything, summary), force=force)
    return PersonExport(label, folder, written, hidden, noted)


def _without_health(found: PersonalData, shown: Settings) -> PersonalData:
    """Return the same without illness and injury: in events, in the log, in what undo keeps."""
    gone = {row["id"] for row in found.tables["event"] if about_health(row["kind"])}
    tables = {name: [_blanked(name, row) for row in rows] for name, rows in found.tables.items()}
    events = [row for row in tables["event"] if row["id"] not in gone]
    undo = [
        {side: _blanked(one["table"], value) for side, value in one.items()}
        for one in found.undo
        if one["table"] != "event" or not (one.get("id") in gone or any(map(about_health, _kinds(one))))
    ]
    history = [line for line in found.history if shown_label(line.what, shown) == line.what]
    return PersonalData({**tables, "event": events}, undo, history)


def _blanked(table: str, value: Any) -> Any:  # noqa: ANN401 - a row, or a value beside one
    """Return a row of a table with its health data blank; what is no row of a record's table stays."""
    kind = _KINDS.get(table)
    return without_health(kind, value) if kind is not None and isinstance(value, Mapping) else value


def _kinds(content: Mapping[str, Any]) -> set[str]:
    return {side["kind"] for side in content.values() if isinstance(side, dict) and "kind" in side}


def _rows(reader: Reader, found: PersonalData) -> dict[str, list[tuple[Any, ...]]]:
    """Return the rows of each file of a club's folder, with the own tests and faults that they name."""
    rows = {}
    for file in FILES:
        table = TABLES[file.kind].name
        if table in found.tables:
            fields = file.columns.values()
            rows[file.stem] = [tuple(row[field] for field in fields) for row in found.tables[table]]
    tests = {row["test"] for row in found.tables["swim"]}
    faults = {row["fault"] for table in _FAULTY for row in found.tables[table]}
    rows["tests"] = [row for row in reader.rows(SwimTest) if row[0] in tests]
    rows["own_faults"] = [row for row in reader.rows(OwnFault) if row[0] in faults]
    return rows


def _held(found: PersonalData) -> list[str]:
    lines = []
    for table, rows in found.tables.items():
        if rows and table != "history_swimmer":
            days = [row[column] for row in rows for column in _DATES if row.get(column)]
            lines.append(held_line(table, len(rows), min(days, default=None), max(days, default=None)))
    if found.history:
        days = [line.at.date() for line in found.history]
        lines.append(held_line("history_entry", len(days), min(days), max(days)))
    if found.undo:
        lines.append(held_line("undo", len(found.undo), None, None))
    return lines


def _seers(found: PersonalData, address: str) -> list[str]:
    reviewers = {row["reviewer"] for table in _REVIEWED for row in found.tables[table] if row["reviewer"]}
    writers = {line.who for line in found.history if line.who}
    return seers_lines(address, sorted(reviewers), sorted(writers))
