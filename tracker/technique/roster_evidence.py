"""Evidence from a whole roster on each fault and each kind of change; worked out on demand."""

from __future__ import annotations

import datetime as dt
import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

import numpy as np

from tracker.engine.verdict.verdict import Verdict
from tracker.model.fault import FaultStep
from tracker.model.review import ReviewItem
from tracker.model.swimmer import Choice
from tracker.model.work import Work
from tracker.technique.effect import Effect, effect_of
from tracker.technique.evidence import FaultStatistics
from tracker.technique.fault_timeline import Change, ChangeKind, FaultTimeline, corrections, works
from tracker.technique.matched_comparison import Levels, Pools
from tracker.technique.randomised_start import randomised_start_effect
from tracker.technique.roster_odds import Look, ReviewedSwimmer, Schedule, roster_odds

KINDS = (ChangeKind.CORRECTION, ChangeKind.CUE, ChangeKind.DRILL)


@dataclass(frozen=True)
class Person:
    """One swimmer's record; `verdict` with its points, from which the levels are taken."""

    swimmer: str
    group: str
    verdict: Verdict | None
    timelines: Sequence[FaultTimeline] = ()
    looks: Sequence[Look] = ()
    work: Sequence[Work] = ()
    choices: Sequence[Choice] = ()


def looks_of(reviews: Iterable[ReviewItem], steps: Iterable[FaultStep]) -> tuple[Look, ...]:
    """Return the days and reviewers of all looks at a swimmer, in order."""
    days = {(item.date, item.reviewer) for item in reviews}
    days |= {(step.date, step.reviewer) for step in steps if step.reviewer}
    return tuple(sorted(days))


def levels_of(verdict: Verdict) -> Levels:
    """Return the tests that count on the scale of the line, percent, + is faster."""
    points = sorted((p for p in verdict.points if not p.set_aside), key=lambda point: point.date)
    days = np.array([point.date.toordinal() for point in points], float)
    return Levels(verdict.swimmer, days, np.array([-100 * math.log(point.on_line) for point in points]))


class RosterEvidence:
    """Odds and effects of one roster on one day; each fault's are cached once worked out."""

    def __init__(self, people: Iterable[Person], *, as_of: dt.date) -> None:
        self.people = tuple(people)
        self.as_of = as_of
        self.levels = {
            p.swimmer: levels_of(p.verdict) for p in self.people if p.verdict is not None and p.verdict.points
        }
        self.changes: tuple[Change, ...] = tuple(
            change
            for p in self.people
            for change in (*corrections(p.swimmer, p.timelines), *works(p.swimmer, p.work))
            if change.date <= as_of
        )
        self.choices = tuple(choice for p in self.people for choice in p.choices)
        self._looked = tuple(
            ReviewedSwimmer(p.swimmer, p.group, p.verdict, p.timelines, p.looks) for p in self.people
        )
        self._schedule = Schedule(self._looked)
        self._known: dict[str, FaultStatistics] = {}

    def of(self, fault: str) -> FaultStatistics:
        """Return what the roster says of one fault."""
        if fault not in self._known:
            self._known[fault] = FaultStatistics(
                roster_odds(self._looked, fault, self._schedule, as_of=self.as_of),
                self.effect(ChangeKind.CORRECTION, fault),
                randomised_start_effect(self.choices, self.levels, until=self.as_of, fault=fault),
            )
        return self._known[fault]

    def effect(self, kind: ChangeKind, fault: str = "", *, checked: bool = False) -> Effect:
        """Return the effect of one kind of change, against one fault or (empty) against any."""
        wanted = [c for c in self.changes if c.kind == kind and fault in {"", c.fault}]
        pools = Pools(self.levels, self.changes)
        return effect_of(wanted, pools, until=self.as_of, label=(kind, fault, ""), checked=checked)

    def effects_on(self, fault: str) -> tuple[Effect, ...]:
        """Return the effects of what was done against one fault, each with a second opinion."""
        found = [self.effect(kind, fault, checked=True) for kind in KINDS]
        drawn = randomised_start_effect(self.choices, self.levels, until=self.as_of, fault=fault)
        return tuple(effect for effect in (*found, drawn) if effect.tried)

    def effects(self) -> tuple[Effect, ...]:
        """Return all effects: each kind over all faults, then by fault, most tried first; draws last."""
        tried: dict[tuple[ChangeKind, str], int] = {}
        for change in self.changes:
            if change.fault:
                tried[change.kind, change.fault] = tried.get((change.kind, change.fault), 0) + 1
        by_fault = sorted(tried, key=lambda key: (KINDS.index(key[0]), -tried[key], key[1]))
        drawn = randomised_start_effect(self.choices, self.levels, until=self.as_of)
        return (
            *(self.effect(kind) for kind in KINDS),
            *(self.effect(kind, fault) for kind, fault in by_fault),
            *([drawn] if drawn.tried else []),
        )
