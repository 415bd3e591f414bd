"""What the whole roster says of each fault, learned once a month and stored.

Like the priors, so that a link's grade is the same on every list, screen and page
and does not jump with every test. It rests on what was on record before the first of the month.
"""

from __future__ import annotations

import dataclasses
import datetime as dt
import json
from collections.abc import Callable, Container, Mapping, Sequence
from dataclasses import dataclass
from functools import partial
from typing import Any, NamedTuple, assert_never

from tracker.app.executor import IN_PROCESS, Executor
from tracker.app.learned_priors import learned_priors
from tracker.app.read_club import read_club, sample_roster
from tracker.app.read_evidence import EVIDENCE_VERSION, PRIORS_VERSION, derived_name, load_derived, person_of
from tracker.app.session import Session
from tracker.engine.verdict.verdict import Word
from tracker.errors import UnknownNameError
from tracker.model.base import Record
from tracker.model.catalogue import Measure, areas, measures
from tracker.model.event import Event, Load
from tracker.model.event_kinds import HEALTH_KINDS
from tracker.model.fault import OWN, FaultStep, OwnFault
from tracker.model.review import ReviewItem
from tracker.model.swim import Swim
from tracker.model.swim_test import BUILT_IN, SwimTest
from tracker.model.swimmer import Choice
from tracker.model.told import Told
from tracker.model.vocabularies import ItemKind
from tracker.model.work import Work
from tracker.remedies import Mend, Remedy
from tracker.store.reading import Reader
from tracker.technique.attention import RosterLine, need
from tracker.technique.effect import Effect, Estimate, Spread
from tracker.technique.evidence import FaultStatistics
from tracker.technique.fault_timeline import ChangeKind
from tracker.technique.pipeline import Club, by_swimmer, roster
from tracker.technique.roster_evidence import Person, RosterEvidence
from tracker.technique.roster_odds import Odds


class Objection(NamedTuple):
    """Which column of a row is wrong, why, and what would mend it."""

    column: str
    reason: str
    remedy: Remedy | None = None


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
    if kind is Told:
        rules.append(_known_word(names.index("verdict")))
    if kind in _BY_KIND:
        rules.append(_BY_KIND[kind](names))
    return rules


def _consented(swimmer: int, refused: frozenset[str]) -> RowRule:
    said = "the consent to be on record was withdrawn"
    return lambda row: Objection("swimmer", said) if row[swimmer] in refused else None


def _past(column: str, day: int, swimmer: int, around: Surroundings) -> RowRule:
    latest = around.as_of + dt.timedelta(days=1)

    def rule(row: Sequence[Any]) -> Objection | None:
        if row[day] > latest:
            return Objection(column, f"'{row[day]}' has not come yet (today is {around.as_of})")
        born = around.born.get(row[swimmer])
        if born is not None and row[day].year < born:
            return Objection(column, f"'{row[day]}' lies before the year of birth, {born}")
        return None

    return rule


def _known_fault(fault: int, known: frozenset[str]) -> RowRule:
    known |= {""}  # a step's own rule asks for one
    return lambda row: None if row[fault] in known else _unknown("fault", "fault", row[fault])


def _unknown(column: str, what: str, name: str) -> Objection:
    wrong = UnknownNameError(what, name)
    return Objection(column, str(wrong), wrong.remedy)


def _known_word(verdict: int) -> RowRule:
    known = tuple(word.value for word in Word)

    def rule(row: Sequence[Any]) -> Objection | None:
        said = f"'{row[verdict]}' is no verdict; it is one of {', '.join(known)}"
        return None if row[verdict] in known else Objection("verdict", said)

    return rule


def _in_order(start: int, end: int) -> RowRule:
    def rule(row: Sequence[Any]) -> Objection | None:
        backwards = row[end] is not None and row[end] < row[start]
        said = f"'{row[end]}' lies before the beginning, '{row[start]}'"
        return Objection("to", said) if backwards else None

    return rule


def _no_health(kind: int) -> RowRule:
    objection = Objection("kind", "health is not written down unless switched on", Mend.HEALTH_ON)
    return lambda row: objection if row[kind] in HEALTH_KINDS else None


def _known_item(names: Sequence[str]) -> RowRule:
    kind, item, value = names.index("kind"), names.index("item"), names.index("value")
    known = {measure.slug: measure for measure in measures()}
    scored = {area.slug for area in areas()}

    def rule(row: Sequence[Any]) -> Objection | None:
        match ItemKind(row[kind]):
            case ItemKind.LOOK:
                return None
            case ItemKind.SCORE:
                return _wrong_score(row[item], row[value], scored)
            case ItemKind.MEASURE:
                return _wrong_measure(row[item], row[value], known)
            case other:
                assert_never(other)

    return rule


def _wrong_score(item: str, value: float | None, scored: Container[str]) -> Objection | None:
    if item not in scored:
        return _unknown("item", "area", item)
    return None if value in {1, 2, 3, 4, 5} else Objection("value", "a score is a whole number from 1 to 5")


def _wrong_measure(item: str, value: float | None, known: Mapping[str, Measure]) -> Objection | None:
    if item not in known:
        return _unknown("item", "measure", item)
    if value is None:
        return Objection("value", "is missing")
    return None if known[item].possible(value) else Objection("value", "an angle is at most 180 deg")


def _own_test(_names: Sequence[str]) -> RowRule:
    return lambda row: Objection("test", "is a test that is built in") if row[0] in _BUILT_IN else None


def _own_fault(_names: Sequence[str]) -> RowRule:
    return lambda row: None if row[0].startswith(OWN) else Objection("fault", f"must begin with {OWN!r}")


_BY_KIND: Mapping[type[Record], Callable[[Sequence[str]], RowRule]] = {
    ReviewItem: _known_item,
    SwimTest: _own_test,
    OwnFault: _own_fault,
}


_SHAPE = [
    field.name
    for kind in (FaultStatistics, Odds, Effect, Estimate, Spread)
    for field in dataclasses.fields(kind)
]
"""Fields of a stored value; one of another shape is not read."""
LEARN_FROM = 500
"""Swimmers at most."""
PART = 125
"""Swimmers judged at a time: each of a few cores has as much to do."""
_BASIS = (Swim, Event, FaultStep, ReviewItem, Work, Choice)


def learn_roster_evidence(
    session: Session, *, executor: Executor = IN_PROCESS
) -> Mapping[str, FaultStatistics]:
    """Return by fault what the roster showed by the first of the month; empty without faults.

    Parameters
    ----------
    executor
        Who works it out, where it is not known yet.
    """
    first = session.today.replace(day=1)
    until = first - dt.timedelta(days=1)
    name = f"weighed by {first.isoformat()}"
    with session.store.read() as reader:
        fingerprints = [reader.fingerprint(kind, first) for kind in _BASIS]
        basis = json.dumps(
            [
                PRIORS_VERSION,
                EVIDENCE_VERSION,
                _SHAPE,
                first.isoformat(),
                dataclasses.astuple(session.settings),
                fingerprints,
            ]
        )
        found = load_derived(reader, name, basis)
        if found is not None:
            return {fault: _from_json(one) for fault, one in found["faults"].items()}
        some = sample_roster(reader, LEARN_FROM)
        known = any(row.record.date <= until for row in reader.all(FaultStep, swimmer=tuple(some)))
        name = derived_name(reader, name)
    roster_evidence: dict[str, FaultStatistics] = {}
    if known:
        learned = learned_priors(session, executor=executor)
        judged = partial(roster, settings=session.settings, as_of=until, learned=learned, detail=True)
        with session.store.read() as reader:
            people = _people(
                reader, some, until, executor.local.for_parts(len(some), worth=LEARN_FROM), judged
            )
        evidence = RosterEvidence(people, as_of=until)
        faults = sorted({timeline.fault for person in evidence.people for timeline in person.timelines})
        roster_evidence = {fault: evidence.of(fault) for fault in faults}
    roster_evidence = {fault: _nameless(one) for fault, one in roster_evidence.items()}
    plain = {fault: dataclasses.asdict(one) for fault, one in roster_evidence.items()}
    session.store.save_derived(name, json.dumps({"basis": basis, "faults": plain}))
    return roster_evidence


def _people(
    reader: Reader,
    names: Sequence[str],
    until: dt.date,
    executor: Executor,
    judged: Callable[[Club], list[RosterLine]],
) -> list[Person]:
    """Return the swimmers of these names, judged in parts of one size whoever does it."""
    clubs = [read_club(reader, among=names[first : first + PART]) for first in range(0, len(names), PART)]
    work = by_swimmer(row.record for row in reader.all(Work, swimmer=tuple(names)))
    lines = [
        (line, club)
        for club, found in zip(clubs, executor.each(judged, clubs), strict=True)
        for line in found
    ]
    lines.sort(key=lambda pair: need(pair[0]))
    return [person_of(line, club, work.get(line.swimmer, ()), until) for line, club in lines]


def _nameless(roster: FaultStatistics) -> FaultStatistics:
    """Return the same without the swimmers behind it: a stored value must not outlive the people it names."""

    def bare(effect: Effect | None) -> Effect | None:
        return None if effect is None else dataclasses.replace(effect, each=())

    return FaultStatistics(roster.odds, bare(roster.correction), bare(roster.drawn))


def _from_json(found: Mapping[str, Any]) -> FaultStatistics:
    odds = found["odds"]
    return FaultStatistics(
        None if odds is None else Odds(**odds), _effect(found["correction"]), _effect(found["drawn"])
    )


def _effect(found: Mapping[str, Any] | None) -> Effect | None:
    if found is None:
        return None
    estimates = {
        name: None if found[name] is None else Estimate(**found[name]) for name in ("gain", "lead", "general")
    }
    spread = None if found["spread"] is None else Spread(**found["spread"])
    return Effect(**{**found, **estimates, "kind": ChangeKind(found["kind"]), "spread": spread, "each": ()})
