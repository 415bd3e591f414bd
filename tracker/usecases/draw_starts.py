"""Draw by lot who starts on a correction now and who in twelve weeks; the power is known beforehand."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from dataclasses import dataclass
from statistics import median

import numpy as np

from tracker.errors import UsageError
from tracker.faults.stagger import WEEKS_APART, WEEKS_BEFORE, Draw, draw, smallest_effect
from tracker.output.numbers import count
from tracker.records.swimmer import Choice
from tracker.settings import Settings
from tracker.store.database import Store
from tracker.usecases.propose_next import graded_line, step_of
from tracker.usecases.read_evidence import RosterRecord, evidence_of
from tracker.usecases.roster_teaching import roster_teaching
from tracker.usecases.weigh_roster import weigh_roster

READY = frozenset({"open", "back"})


@dataclass(frozen=True)
class Planned:
    """Whom a draw would take, and the smallest effect (percent per month) it could show; None: none."""

    proposed: tuple[tuple[str, str, str], ...]
    smallest: float | None


def plan_draw(store: Store, *, as_of: dt.date, settings: Settings, name: str | None = None) -> Planned:
    """Return who is proposed a fault that nobody works on, chose or drew before.

    Raises
    ------
    UnknownNameError
        If nobody is called so.
    UsageError
        If nobody can be drawn.
    """
    taught = roster_teaching(store, as_of=as_of, settings=settings)
    weighed = weigh_roster(store, as_of=as_of, settings=settings)
    with store.read() as reader:
        record = evidence_of(reader, taught, as_of=as_of, settings=settings, weighed=weighed, name=name)
    proposed = [found for label in sorted(record.lines) if (found := _ready(record, label, as_of, settings))]
    if not proposed:
        raise UsageError(
            "nobody to draw: it takes a swimmer with a fault proposed that is not in work and not drawn yet"
        )
    noise = [v.noise_pct for name_, _, _ in proposed if (v := record.lines[name_].verdict)]
    rhythm = [_tests_a_week(record, name_, as_of) for name_, _, _ in proposed]
    half = len(proposed) // 2
    smallest = smallest_effect(
        half,
        len(proposed) - half,
        tests_a_week=median(rhythm),
        noise_pct=median(noise) if noise else 1.5,
    )
    return Planned(tuple(proposed), smallest)


def draw_starts(
    store: Store,
    proposed: Sequence[tuple[str, str, str]],
    generator: np.random.Generator,
    *,
    as_of: dt.date,
    who: str,
    at: dt.datetime,
) -> tuple[Draw, ...]:
    """Draw, and keep the draw: the later analysis goes by it."""
    drawn = draw(proposed, generator, on=as_of)
    choices = [
        Choice.model_validate(
            {
                "date": as_of,
                "swimmer": one.swimmer,
                "kind": "stagger",
                "fault": one.fault,
                "side": one.side,
                "value": one.arm,
                "by": who,
            }
        )
        for one in drawn
    ]
    with store.write(who=who, what=f"draw starts for {count(len(drawn), 'swimmer')}", at=at) as writer:
        writer.add(choices)
    return drawn


def draws_on_record(store: Store, *, as_of: dt.date, name: str = "") -> tuple[Draw, ...]:
    """Return what was drawn by `as_of`, of one swimmer if named; the latest draw first."""
    with store.read() as reader:
        whose = {"swimmer": reader.swimmer(name).record.swimmer} if name else {}
        found = [kept.record for kept in reader.all(Choice, kind="stagger", **whose)]
    later = dt.timedelta(weeks=WEEKS_APART)
    return tuple(
        Draw(one.swimmer, one.fault, one.side, "later", one.date + later)
        if one.value == "later"
        else Draw(one.swimmer, one.fault, one.side, "now", one.date)
        for one in sorted(found, key=lambda one: one.date, reverse=True)
        if one.date <= as_of
    )


def _ready(
    record: RosterRecord, label: str, as_of: dt.date, settings: Settings
) -> tuple[str, str, str] | None:
    verdict = record.lines[label].verdict
    if verdict is None or verdict.stale:
        return None
    step = step_of(record, graded_line(record, label, (), settings), as_of=as_of, settings=settings)
    one = step.one
    if one is None or one.state not in READY or step.due.held:
        return None
    if any(reason.code == "chosen" for reason in one.reasons):
        return None
    drawn = {(c.fault, c.side) for c in record.people[label].choices if c.kind == "stagger"}
    return None if (one.fault, one.side) in drawn else (label, one.fault, one.side)


def _tests_a_week(record: RosterRecord, label: str, as_of: dt.date) -> float:
    verdict = record.lines[label].verdict
    since = as_of - dt.timedelta(weeks=WEEKS_BEFORE)
    points = verdict.points if verdict else ()
    days = {point.date for point in points if point.date > since and not point.set_aside}
    return len(days) / WEEKS_BEFORE
