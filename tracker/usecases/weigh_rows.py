"""What a file's rows must obey beyond their own fields: the calendar, the catalogue, consent, health."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from tracker.errors import UnknownNameError
from tracker.records.base import Record
from tracker.records.catalogue import measures
from tracker.records.event import Event, Load
from tracker.records.event_kinds import HEALTH_KINDS
from tracker.records.fault import OWN, FaultStep, OwnFault
from tracker.records.review import AREAS, ReviewItem
from tracker.records.swim import Swim
from tracker.records.swim_test import BUILT_IN, SwimTest
from tracker.records.swimmer import Choice
from tracker.records.work import Work

Objection = tuple[str, str]
"""Column and reason."""
RowRule = Callable[[Sequence[Any]], Objection | None]

_PAST = {Swim: "date", ReviewItem: "date", FaultStep: "date", Load: "week"}
_BUILT_IN = frozenset(test.test for test in BUILT_IN)


@dataclass(frozen=True)
class Surroundings:
    """What the rows are held against.

    Attributes
    ----------
    as_of
        Today.
    born
        Label -> year of birth, where known.
    refused
        Labels whose consent to be on record was withdrawn.
    faults
        Short names of all faults.
    health
        Whether illness and injury may be written down.
    """

    as_of: dt.date
    born: Mapping[str, int]
    refused: frozenset[str]
    faults: frozenset[str]
    health: bool


def rules_for(kind: type[Record], around: Surroundings) -> list[RowRule]:
    """Return the rules for rows of a kind, values in the order of its fields."""
    names = list(kind.model_fields)
    rules: list[RowRule] = []
    if "swimmer" in names and around.refused:
        rules.append(_consented(names.index("swimmer"), around.refused))
    if kind in _PAST:
        rules.append(_past(_PAST[kind], names.index(_PAST[kind]), names.index("swimmer"), around))
    if kind in {FaultStep, Work, Choice}:
        rules.append(_known_fault(names.index("fault"), around.faults))
    if kind in {Event, Work}:
        rules.append(_in_order(names.index("from_date"), names.index("to_date")))
    if kind is Event and not around.health:
        rules.append(_no_health(names.index("kind")))
    if kind in _BY_KIND:
        rules.append(_BY_KIND[kind](names))
    return rules


def _consented(swimmer: int, refused: frozenset[str]) -> RowRule:
    said = "the consent to be on record was withdrawn"
    return lambda row: ("swimmer", said) if row[swimmer] in refused else None


def _past(column: str, day: int, swimmer: int, around: Surroundings) -> RowRule:
    latest = around.as_of + dt.timedelta(days=1)

    def rule(row: Sequence[Any]) -> Objection | None:
        if row[day] > latest:
            return column, f"'{row[day]}' has not come yet (today is {around.as_of})"
        born = around.born.get(row[swimmer])
        if born is not None and row[day].year < born:
            return column, f"'{row[day]}' lies before the year of birth, {born}"
        return None

    return rule


def _known_fault(fault: int, known: frozenset[str]) -> RowRule:
    known |= {""}  # a step's own rule asks for one
    return lambda row: None if row[fault] in known else ("fault", str(UnknownNameError("fault", row[fault])))


def _in_order(start: int, end: int) -> RowRule:
    def rule(row: Sequence[Any]) -> Objection | None:
        backwards = row[end] is not None and row[end] < row[start]
        return ("to", f"'{row[end]}' lies before the beginning, '{row[start]}'") if backwards else None

    return rule


def _no_health(kind: int) -> RowRule:
    said = "health is not written down unless switched on (config set health true)"
    return lambda row: ("kind", said) if row[kind] in HEALTH_KINDS else None


def _known_item(names: Sequence[str]) -> RowRule:
    kind, item, value = names.index("kind"), names.index("item"), names.index("value")
    known = {measure.slug: measure for measure in measures()}

    def rule(row: Sequence[Any]) -> Objection | None:
        if row[kind] == "look":
            return None
        if row[kind] == "score":
            if row[item] not in AREAS:
                return "item", str(UnknownNameError("area", row[item]))
            if row[value] not in {1, 2, 3, 4, 5}:
                return "value", "a score is a whole number from 1 to 5"
            return None
        if row[item] not in known:
            return "item", str(UnknownNameError("measure", row[item]))
        if row[value] is None:
            return "value", "is missing"
        return None if known[row[item]].possible(row[value]) else ("value", "an angle is at most 180 deg")

    return rule


def _own_test(_names: Sequence[str]) -> RowRule:
    return lambda row: ("test", "is a test that is built in") if row[0] in _BUILT_IN else None


def _own_fault(_names: Sequence[str]) -> RowRule:
    return lambda row: None if row[0].startswith(OWN) else ("fault", f"must begin with {OWN!r}")


_BY_KIND: Mapping[type[Record], Callable[[Sequence[str]], RowRule]] = {
    ReviewItem: _known_item,
    SwimTest: _own_test,
    OwnFault: _own_fault,
}
