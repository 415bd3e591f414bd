"""Plan an import: new rows, known rows, refused rows, doubtful rows.

Nothing is written here, so the preview and the import can't differ.
"""

from __future__ import annotations

import datetime as dt
from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

from tracker.app.roster_evidence import Surroundings, rules_for
from tracker.app.swims import DoubtfulSwim, doubtful_swims
from tracker.entry.club_files import ClubTable, Values
from tracker.errors import Problem
from tracker.model.base import Record, StoredRow
from tracker.model.catalogue import catalogue
from tracker.model.fault import OwnFault
from tracker.model.plausibility import pace_doubts
from tracker.model.swim import Swim
from tracker.model.swim_test import SwimTest
from tracker.model.swimmer import Consent, Swimmer, consent_status
from tracker.model.text import confusable_key
from tracker.model.units import format_time
from tracker.model.vocabularies import ConsentStatus, Purpose
from tracker.remedies import Mend
from tracker.settings import Settings
from tracker.store.reading import Reader

UNIQUE: Mapping[type[Record], str] = {Swimmer: "swimmer", SwimTest: "test", OwnFault: "fault"}
"""Kinds of which there is one record a name: these are filled in, the others are added to."""


@dataclass(frozen=True)
class Filling:
    """Fields of a stored record that were empty and that the file fills in."""

    kind: type[Record]
    number: int
    version: int
    fields: Mapping[str, Any]


@dataclass
class Plan:
    """What to write, and what to report."""

    new: dict[type[Record], list[Values]] = field(default_factory=dict)
    fillings: list[Filling] = field(default_factory=list)
    read: dict[str, int] = field(default_factory=dict)
    known: int = 0
    created: list[str] = field(default_factory=list)
    similar: list[tuple[str, str]] = field(default_factory=list)
    problems: list[Problem] = field(default_factory=list)
    remarks: list[Problem] = field(default_factory=list)
    doubts: list[DoubtfulSwim] = field(default_factory=list)


def plan_import(reader: Reader, tables: Sequence[ClubTable], *, as_of: dt.date, settings: Settings) -> Plan:
    """Hold the rows of files against what is stored."""
    plan = Plan()
    there = {stored.record.swimmer: stored for stored in reader.all(Swimmer)}
    around = _surroundings(reader, tables, there, as_of, settings)
    for table in tables:
        plan.read[table.name] = len(table.rows) + len({problem.row for problem in table.problems})
        plan.problems += table.problems
        plan.remarks += table.remarks
        _obey(table, around, plan)
        if table.file.kind is Swimmer:
            _look_at_targets(table, plan, settings)
        if table.file.kind in UNIQUE:
            _by_name(reader, table, plan)
        else:
            _by_count(reader, table, plan, settings)
    _create(tables, there, plan)
    return plan


def _surroundings(
    reader: Reader,
    tables: Sequence[ClubTable],
    there: Mapping[str, StoredRow[Swimmer]],
    as_of: dt.date,
    settings: Settings,
) -> Surroundings:
    born = {label: stored.record.born for label, stored in there.items()}
    faults = {fault.slug for fault in catalogue()} | {stored.record.fault for stored in reader.all(OwnFault)}
    for table in tables:
        if table.file.kind is Swimmer:
            column = list(Swimmer.model_fields).index("born")
            born |= {row[0]: row[column] for row in table.rows if row[column] is not None}
        if table.file.kind is OwnFault:
            faults |= {row[0] for row in table.rows}
    consents: dict[str, list[Consent]] = {}
    for stored in reader.all(Consent, purpose=Purpose.RECORD):
        consents.setdefault(stored.record.swimmer, []).append(stored.record)
    refused = {
        label
        for label, given in consents.items()
        if consent_status(given, Purpose.RECORD, as_of) is ConsentStatus.WITHDRAWN
    }
    return Surroundings(
        as_of=as_of,
        born={label: year for label, year in born.items() if year is not None},
        refused=frozenset(refused),
        faults=frozenset(faults),
        health=settings.health,
    )


def _obey(table: ClubTable, around: Surroundings, plan: Plan) -> None:
    """Leave in the table the rows that obey all rules; report the others."""
    rules = rules_for(table.file.kind, around)
    rows, numbers = [], []
    for row, number in zip(table.rows, table.numbers, strict=True):
        for rule in rules:
            if objection := rule(row):
                column, reason, remedy = objection
                plan.problems.append(Problem(column, "", reason, number, table.name, remedy=remedy))
                break
        else:
            rows.append(row)
            numbers.append(number)
    table.rows, table.numbers = rows, numbers


def _look_at_targets(table: ClubTable, plan: Plan, settings: Settings) -> None:
    """Tell of targets that nobody swims, which were perhaps typed with a point for the colon."""
    column = list(Swimmer.model_fields).index("target_pace")
    for row, number in zip(table.rows, table.numbers, strict=True):
        if row[column] is not None and pace_doubts(row[column], settings):
            said = f"{format_time(row[column])} per 100 m is no pace of a swim"
            plan.remarks.append(
                Problem("target_pace", "", said, number, table.name, remedy=Mend.EDIT_SWIMMER)
            )


def _by_name(reader: Reader, table: ClubTable, plan: Plan) -> None:
    """Take records of which there is one a name: new ones, and what fills an empty field."""
    kind, key = table.file.kind, UNIQUE[table.file.kind]
    names = list(kind.model_fields)
    there = {getattr(old.record, key): old for old in reader.all(kind)}
    taken: dict[str, Values] = {}
    for row, number in zip(table.rows, table.numbers, strict=True):
        label = row[names.index(key)]
        if label in taken:
            if row != taken[label]:
                plan.problems.append(Problem(key, label, "stands twice in this file", number, table.name))
            continue
        taken[label] = row
        if label not in there:
            plan.new.setdefault(kind, []).append(row)
            continue
        old = there[label]
        blank = {name: kind.model_fields[name].default for name in names if name != key}
        stored = {name: getattr(old.record, name) for name in names}
        told = {name: value for name, value in zip(names, row, strict=True) if value != stored[name]}
        told = {name: value for name, value in told.items() if value != blank.get(name)}
        clash = [name for name in told if stored[name] != blank.get(name)]
        if clash:
            reason = f"{label!r} is stored with another value; the stored one stays"
            plan.problems.append(Problem(clash[0], "", reason, number, table.name))
        elif told:
            plan.fillings.append(Filling(kind, old.id, old.version, told))
        else:
            plan.known += 1


def _by_count(reader: Reader, table: ClubTable, plan: Plan, settings: Settings) -> None:
    """Take the rows that the file holds more often than the store does."""
    kind = table.file.kind
    wanted = Counter(table.rows)
    stored: Counter[Values] = Counter()
    same_day = _days(table.rows) if kind is Swim else set()
    companions: list[Values] = []
    for row in reader.rows(kind):
        if row in wanted:
            stored[row] += 1
        if same_day and row[:2] in same_day:
            companions.append(row)
    new, numbers = [], []
    repeated = _twice_alone(wanted) if kind is Swim else frozenset()
    first: dict[Values, int] = {}
    for row, number in zip(table.rows, table.numbers, strict=True):
        before = first.setdefault(row, number) if row in repeated else number
        if stored and stored[row] > 0:
            stored[row] -= 1
            plan.known += 1
            continue
        new.append(row)
        numbers.append(number)
        if before != number:
            said = f"the same swim as row {before}, and both count; if it was swum once, delete one"
            plan.remarks.append(Problem("swimmer", "", said, number, table.name))
    plan.new.setdefault(kind, []).extend(new)
    if kind is Swim:
        plan.doubts += doubtful_swims(new, numbers, companions, settings, table.name)


def _twice_alone(wanted: Counter[Values]) -> frozenset[Values]:
    """Return the swims that the file holds more than once; repeats of one set are often alike."""
    column = list(Swim.model_fields).index("set_id")
    return frozenset(row for row, times in wanted.items() if times > 1 and not row[column])


def _days(rows: Iterable[Values]) -> set[tuple[Any, ...]]:
    return {row[:2] for row in rows}


def _create(tables: Sequence[ClubTable], there: Mapping[str, StoredRow[Swimmer]], plan: Plan) -> None:
    """Add the unknown swimmers that the rows name, with a remark where a known name looks alike."""
    names = list(Swimmer.model_fields)
    listed = {row[0] for row in plan.new.get(Swimmer, [])}
    looks: dict[str, str] = {confusable_key(label): label for label in there}
    for label in sorted(listed):
        looks.setdefault(confusable_key(label), label)
    for table in tables:
        fields = list(table.file.kind.model_fields)
        if table.file.kind is Swimmer or "swimmer" not in fields:
            continue
        column = fields.index("swimmer")
        for label in dict.fromkeys(row[column] for row in table.rows):
            if label in there or label in listed:
                continue
            plan.created.append(label)
            listed.add(label)
            record = Swimmer(swimmer=label)
            plan.new.setdefault(Swimmer, []).append(tuple(getattr(record, name) for name in names))
    for label in sorted(listed):
        other = looks.setdefault(confusable_key(label), label)
        if other != label:
            plan.similar.append((label, other))
