"""Priors learned from the roster, and what they say.

Priors that moved with every new test would make verdicts jump for reasons no swimmer can see. So a
verdict rests on what the whole roster had swum before the first of its month, whoever is asked about.
"""

from __future__ import annotations

import dataclasses
import datetime as dt
import json
from typing import Any

from tracker.app.executor import IN_PROCESS, Executor
from tracker.app.read_club import sample_roster
from tracker.app.read_evidence import PRIORS_VERSION, derived_name, load_derived
from tracker.app.session import Session
from tracker.engine.series.comparable import jump_days
from tracker.engine.series.from_swims import COLUMNS, rows_from_swims
from tracker.engine.series.protocols import Reference
from tracker.engine.trend.learn import FEWEST
from tracker.engine.trend.priors import BUILT_IN, Priors
from tracker.engine.trend.roster_opinion import roster_opinion
from tracker.engine.verdict.judge import LearnedPriors, PriorsReport, examine, learn_priors
from tracker.errors import TooFewError
from tracker.model.event import Event
from tracker.model.swim import Swim
from tracker.store.reading import Reader

_SHAPE = [field.name for field in dataclasses.fields(Priors)]
"""Fields of a stored value; one of another shape is not read."""
LEARN_FROM = 500
"""Swimmers at most: the spread of what they teach is far below what one swimmer's tests can tell."""
PLAIN = Reference("400 m", "SCM", "")
"""What offsets are relative to before there is a roster."""


def priors_at_hand(session: Session) -> LearnedPriors | None:
    """Return priors that cost no wait: known already, or of a roster too small to teach any; else None."""
    first = session.today.replace(day=1)
    with session.store.read() as reader:
        found = load_derived(reader, _name(first), _basis(reader, session, first))
        small = len(reader.labels()) < FEWEST
    if found is not None:
        return _from_json(found)
    return learned_priors(session) if small else None


def _name(first: dt.date) -> str:
    return f"taught by {first.isoformat()}"


def _basis(reader: Reader, session: Session, first: dt.date) -> str:
    """Return what the priors of a month rest on."""
    fingerprints = [reader.fingerprint(kind, first) for kind in (Swim, Event)]
    return json.dumps(
        [PRIORS_VERSION, _SHAPE, first.isoformat(), dataclasses.astuple(session.settings), fingerprints]
    )


def learned_priors(session: Session, *, executor: Executor = IN_PROCESS) -> LearnedPriors:
    """Return the priors learned from the roster as it was before the first of the month.

    Parameters
    ----------
    executor
        Who works it out, where it is not known yet.
    """
    first = session.today.replace(day=1)
    name = _name(first)
    with session.store.read() as reader:
        basis = _basis(reader, session, first)
        found = load_derived(reader, name, basis)
        if found is not None:
            return _from_json(found)
        some = sample_roster(reader, LEARN_FROM)
        workers = executor.local.for_parts(len(some), worth=LEARN_FROM)
        workers.start_workers()
        swims = reader.columns(Swim, COLUMNS, among=some)
        events = [one.record for one in reader.all(Event, swimmer=tuple(some))]
        name = derived_name(reader, name)
    learned = LearnedPriors(BUILT_IN, PLAIN)
    rows, _ = rows_from_swims(swims, session.settings, until=first - dt.timedelta(days=1))
    if rows is not None:
        learned = learn_priors(
            rows, session.settings, jump_days(events, first - dt.timedelta(days=1)), workers.each
        )
    session.store.save_derived(name, json.dumps({"basis": basis, **_to_json(learned)}))
    return learned


def _to_json(learned: LearnedPriors) -> dict[str, Any]:
    return {"priors": dataclasses.asdict(learned.priors), "reference": list(learned.reference)}


def _from_json(found: dict[str, Any]) -> LearnedPriors:
    values: dict[str, Any] = {
        name: tuple(value) if isinstance(value, list) else value for name, value in found["priors"].items()
    }
    values["offsets"] = {name: tuple(pair) for name, pair in values["offsets"].items()}
    return LearnedPriors(Priors(**values), Reference(*found["reference"]))


ASKED = 150
"""Swimmers at most that the mixed model is fitted to: enough for small errors; more cost time."""


def explain_learned_priors(session: Session) -> PriorsReport:
    """Return what verdicts as of a day rest on, and the mixed model of the tests up to then."""
    learned = learned_priors(session)
    with session.store.read() as reader:
        swims = reader.columns(Swim, COLUMNS, among=sample_roster(reader, ASKED))
    rows, _ = rows_from_swims(swims, session.settings, until=session.today)
    if rows is None:
        return PriorsReport(learned, session.settings.band, None, 0, "there is no usable test")
    case = examine(rows, learned, session.settings, past=False)
    try:
        opinion = roster_opinion(case.observations, case.answer)
    except TooFewError as few:
        return PriorsReport(learned, session.settings.band, None, len(case.answer), str(few))
    return PriorsReport(learned, session.settings.band, opinion, len(case.answer))
