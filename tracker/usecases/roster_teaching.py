"""What the roster taught the engine: learned once a month, kept, and learned again if its basis changed.

Priors that moved with every new test would make verdicts jump for reasons no swimmer can see. So a
verdict rests on what the whole roster had swum before the first of its month, whoever is asked about.
"""

from __future__ import annotations

import dataclasses
import datetime as dt
import json
from typing import Any

from tracker.records.event import Event
from tracker.records.swim import Swim
from tracker.series.events import jump_days
from tracker.series.from_swims import COLUMNS, rows_from_swims
from tracker.series.kinds import Reference
from tracker.settings import Settings
from tracker.store.database import Store
from tracker.trend.priors import BUILT_IN, Priors
from tracker.usecases.crew import ALONE, Crew
from tracker.usecases.kept_facts import LEARNING, kept_fact, name_to_keep
from tracker.usecases.sample_roster import sample_roster
from tracker.verdict.judge import Taught, teach

_SHAPE = [field.name for field in dataclasses.fields(Priors)]
"""What a kept fact holds; one of another shape is not read."""
LEARN_FROM = 500
"""Swimmers at most: the spread of what they teach is far below what one swimmer's tests can tell."""
PLAIN = Reference("400 m", "SCM", "")
"""What offsets are relative to before there is a roster."""


def roster_teaching(store: Store, *, as_of: dt.date, settings: Settings, crew: Crew = ALONE) -> Taught:
    """Return what the roster had taught by the first of the month of `as_of`.

    Parameters
    ----------
    crew
        Who works it out, where it is not known yet.
    """
    first = as_of.replace(day=1)
    name = f"taught by {first.isoformat()}"
    with store.read() as reader:
        prints = [reader.fingerprint(kind, first) for kind in (Swim, Event)]
        basis = json.dumps([LEARNING, _SHAPE, first.isoformat(), dataclasses.astuple(settings), prints])
        found = kept_fact(reader, name, basis)
        if found is not None:
            return _from_json(found)
        some = sample_roster(reader, LEARN_FROM)
        helpers = crew.here.for_parts(len(some), worth=LEARN_FROM)
        helpers.call()
        swims = reader.columns(Swim, COLUMNS, among=some)
        events = [one.record for one in reader.all(Event, swimmer=tuple(some))]
        name = name_to_keep(reader, name)
    taught = Taught(BUILT_IN, PLAIN)
    rows, _ = rows_from_swims(swims, settings, until=first - dt.timedelta(days=1))
    if rows is not None:
        taught = teach(rows, settings, jump_days(events, first - dt.timedelta(days=1)), helpers.each)
    store.remember(name, json.dumps({"basis": basis, **_to_json(taught)}))
    return taught


def _to_json(taught: Taught) -> dict[str, Any]:
    return {"priors": dataclasses.asdict(taught.priors), "reference": list(taught.reference)}


def _from_json(found: dict[str, Any]) -> Taught:
    values: dict[str, Any] = {
        name: tuple(value) if isinstance(value, list) else value for name, value in found["priors"].items()
    }
    values["offsets"] = {name: tuple(pair) for name, pair in values["offsets"].items()}
    return Taught(Priors(**values), Reference(*found["reference"]))
