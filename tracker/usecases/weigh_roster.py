"""What the whole roster says of each fault: worked out once a month, kept, and anew if its basis changed.

Like the priors, so that a link's grade is the same on every list, screen and page, whoever is asked about,
and does not jump with every test. It rests on what was on record before the first of the month.
"""

from __future__ import annotations

import dataclasses
import datetime as dt
import json
from collections.abc import Mapping
from typing import Any

from tracker.faults.effect import Effect, Estimate
from tracker.faults.evidence import Roster
from tracker.faults.roster_odds import Odds
from tracker.records.event import Event
from tracker.records.fault import FaultStep
from tracker.records.review import ReviewItem
from tracker.records.swim import Swim
from tracker.records.swimmer import Choice
from tracker.records.work import Work
from tracker.settings import Settings
from tracker.store.database import Store
from tracker.usecases.kept_facts import WEIGHING, kept_fact, name_to_keep
from tracker.usecases.read_evidence import evidence_of
from tracker.usecases.roster_teaching import roster_teaching
from tracker.usecases.sample_roster import sample_roster

_SHAPE = [field.name for kind in (Roster, Odds, Effect, Estimate) for field in dataclasses.fields(kind)]
"""What a kept fact holds; one of another shape is not read."""
LEARN_FROM = 500
"""Swimmers at most."""
_BASIS = (Swim, Event, FaultStep, ReviewItem, Work, Choice)


def weigh_roster(store: Store, *, as_of: dt.date, settings: Settings) -> Mapping[str, Roster]:
    """Return by fault what the roster showed by the first of the month of `as_of`; empty without faults."""
    first = as_of.replace(day=1)
    until = first - dt.timedelta(days=1)
    name = f"weighed by {first.isoformat()}"
    with store.read() as reader:
        prints = [reader.fingerprint(kind, first) for kind in _BASIS]
        basis = json.dumps([WEIGHING, _SHAPE, first.isoformat(), dataclasses.astuple(settings), prints])
        found = kept_fact(reader, name, basis)
        if found is not None:
            return {fault: _from_json(one) for fault, one in found["faults"].items()}
        some = sample_roster(reader, LEARN_FROM)
        known = any(kept.record.date <= until for kept in reader.all(FaultStep, swimmer=tuple(some)))
        name = name_to_keep(reader, name)
    weighed: dict[str, Roster] = {}
    if known:
        taught = roster_teaching(store, as_of=as_of, settings=settings)
        with store.read() as reader:
            evidence = evidence_of(reader, taught, as_of=until, settings=settings, among=some).evidence
        faults = sorted({life.fault for person in evidence.people for life in person.lives})
        weighed = {fault: evidence.of(fault) for fault in faults}
    weighed = {fault: _nameless(one) for fault, one in weighed.items()}
    told = {fault: dataclasses.asdict(one) for fault, one in weighed.items()}
    store.remember(name, json.dumps({"basis": basis, "faults": told}))
    return weighed


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
