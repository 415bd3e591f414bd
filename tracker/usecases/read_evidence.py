"""Read what the roster says of faults and changes, beside everybody's line, in one snapshot."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from dataclasses import dataclass

from tracker.faults.life import lives
from tracker.faults.roster_evidence import Person, RosterEvidence, looks_of
from tracker.pipeline import Club, RosterLine, by_swimmer, roster
from tracker.records.catalogue import Fault, full_catalogue
from tracker.records.fault import OwnFault
from tracker.records.work import Work
from tracker.settings import Settings
from tracker.store.database import Store
from tracker.store.reading import Reader
from tracker.usecases.read_club import read_club
from tracker.usecases.roster_teaching import roster_teaching
from tracker.verdict.judge import Taught

LARGE_ENOUGH = 30
"""A swimmer's own group is the roster to compare with if it has so many (assumption): it keeps a
federation's `next` quick, and a group's swimmers more alike."""


@dataclass(frozen=True)
class RosterRecord:
    """The roster with points, what everybody does and did, and what follows from it together."""

    club: Club
    lines: dict[str, RosterLine]
    people: dict[str, Person]
    catalogue: dict[str, Fault]
    evidence: RosterEvidence


def read_evidence(
    store: Store, *, as_of: dt.date, settings: Settings, name: str | None = None
) -> RosterRecord:
    """Return the record of all active swimmers; of the group of `name` if it is large enough.

    Raises
    ------
    UnknownNameError
        If nobody is called so.
    """
    taught = roster_teaching(store, as_of=as_of, settings=settings)
    with store.read() as reader:
        return evidence_of(reader, taught, as_of=as_of, settings=settings, name=name)


def evidence_of(
    reader: Reader,
    taught: Taught,
    *,
    as_of: dt.date,
    settings: Settings,
    name: str | None = None,
    group: str | None = None,
) -> RosterRecord:
    """Return the same out of an open snapshot; of one group if `group` is given.

    Raises
    ------
    UnknownNameError
        If nobody is called `name`.
    """
    who = None if name is None else reader.swimmer(name).record
    if who and who.group and len(reader.labels(who.group)) >= LARGE_ENOUGH:
        group = who.group
    club = read_club(reader, group=group)
    if who is not None and who.swimmer not in club.swimmers:
        club = read_club(reader, swimmer=who.swimmer)
    work: dict[str, list[Work]] = by_swimmer(kept.record for kept in reader.all(Work))
    own = [kept.record for kept in reader.all(OwnFault)]
    lines = {line.swimmer: line for line in roster(club, settings, as_of=as_of, taught=taught, detail=True)}
    people = {label: _person(label, lines[label], club, work.get(label, ()), as_of) for label in lines}
    catalogue = {entry.slug: entry for entry in full_catalogue(own)}
    return RosterRecord(club, lines, people, catalogue, RosterEvidence(people.values(), as_of=as_of))


def _person(label: str, line: RosterLine, club: Club, work: Sequence[Work], as_of: dt.date) -> Person:
    steps = club.steps.get(label, ())
    return Person(
        label,
        line.group,
        line.verdict,
        lives(steps, as_of),
        looks_of(club.reviews.get(label, ()), steps),
        [one for one in work if one.from_date <= as_of],
        club.choices.get(label, ()),
    )
