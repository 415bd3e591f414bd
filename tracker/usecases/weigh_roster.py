"""What the whole roster says of each fault: worked out once a month, kept, and anew if its basis changed.

Like the priors, so that a link's grade is the same on every list, screen and page, whoever is asked about,
and does not jump with every test. It rests on what was on record before the first of the month.
"""

from __future__ import annotations

import dataclasses
import datetime as dt
import json
from collections.abc import Callable, Mapping, Sequence
from functools import partial
from typing import Any

from tracker.faults.effect import Effect, Estimate
from tracker.faults.evidence import Roster
from tracker.faults.roster_evidence import Person, RosterEvidence
from tracker.faults.roster_line import RosterLine, need
from tracker.faults.roster_odds import Odds
from tracker.pipeline import Club, by_swimmer, roster
from tracker.records.event import Event
from tracker.records.fault import FaultStep
from tracker.records.review import ReviewItem
from tracker.records.swim import Swim
from tracker.records.swimmer import Choice
from tracker.records.work import Work
from tracker.settings import Settings
from tracker.store.database import Store
from tracker.store.reading import Reader
from tracker.usecases.crew import ALONE, Crew
from tracker.usecases.kept_facts import LEARNING, WEIGHING, kept_fact, name_to_keep
from tracker.usecases.read_club import read_club
from tracker.usecases.read_evidence import person_of
from tracker.usecases.roster_teaching import roster_teaching
from tracker.usecases.sample_roster import sample_roster

_SHAPE = [field.name for kind in (Roster, Odds, Effect, Estimate) for field in dataclasses.fields(kind)]
"""What a kept fact holds; one of another shape is not read."""
LEARN_FROM = 500
"""Swimmers at most."""
PART = 125
"""Swimmers judged at a time: each of a few cores has as much to do."""
_BASIS = (Swim, Event, FaultStep, ReviewItem, Work, Choice)


def weigh_roster(
    store: Store, *, as_of: dt.date, settings: Settings, crew: Crew = ALONE
) -> Mapping[str, Roster]:
    """Return by fault what the roster showed by the first of the month of `as_of`; empty without faults.

    Parameters
    ----------
    crew
        Who works it out, where it is not known yet.
    """
    first = as_of.replace(day=1)
    until = first - dt.timedelta(days=1)
    name = f"weighed by {first.isoformat()}"
    with store.read() as reader:
        prints = [reader.fingerprint(kind, first) for kind in _BASIS]
        basis = json.dumps(
            [LEARNING, WEIGHING, _SHAPE, first.isoformat(), dataclasses.astuple(settings), prints]
        )
        found = kept_fact(reader, name, basis)
        if found is not None:
            return {fault: _from_json(one) for fault, one in found["faults"].items()}
        some = sample_roster(reader, LEARN_FROM)
        known = any(kept.record.date <= until for kept in reader.all(FaultStep, swimmer=tuple(some)))
        name = name_to_keep(reader, name)
    weighed: dict[str, Roster] = {}
    if known:
        taught = roster_teaching(store, as_of=as_of, settings=settings, crew=crew)
        judged = partial(roster, settings=settings, as_of=until, taught=taught, detail=True)
        with store.read() as reader:
            people = _people(reader, some, until, crew.here.for_parts(len(some), worth=LEARN_FROM), judged)
        evidence = RosterEvidence(people, as_of=until)
        faults = sorted({life.fault for person in evidence.people for life in person.lives})
        weighed = {fault: evidence.of(fault) for fault in faults}
    weighed = {fault: _nameless(one) for fault, one in weighed.items()}
    told = {fault: dataclasses.asdict(one) for fault, one in weighed.items()}
    store.remember(name, json.dumps({"basis": basis, "faults": told}))
    return weighed


def _people(
    reader: Reader,
    names: Sequence[str],
    until: dt.date,
    crew: Crew,
    judged: Callable[[Club], list[RosterLine]],
) -> list[Person]:
    """Return the swimmers of these names, judged in parts of one size whoever does it."""
    clubs = [read_club(reader, among=names[first : first + PART]) for first in range(0, len(names), PART)]
    work = by_swimmer(kept.record for kept in reader.all(Work, swimmer=tuple(names)))
    lines = [
        (line, club) for club, found in zip(clubs, crew.each(judged, clubs), strict=True) for line in found
    ]
    lines.sort(key=lambda pair: need(pair[0]))
    return [person_of(line, club, work.get(line.swimmer, ()), until) for line, club in lines]


def _nameless(roster: Roster) -> Roster:
    """Return the same without the swimmers behind it: a kept fact must not outlive whom it names."""

    def bare(effect: Effect | None) -> Effect | None:
        return None if effect is None else dataclasses.replace(effect, each=())

    return Roster(roster.odds, bare(roster.correction), bare(roster.drawn))


def _from_json(found: Mapping[str, Any]) -> Roster:
    odds = found["odds"]
    return Roster(
        None if odds is None else Odds(**odds), _effect(found["correction"]), _effect(found["drawn"])
    )


def _effect(found: Mapping[str, Any] | None) -> Effect | None:
    if found is None:
        return None
    estimates = {
        name: None if found[name] is None else Estimate(**found[name]) for name in ("gain", "lead", "general")
    }
    return Effect(**{**found, **estimates, "each": ()})
