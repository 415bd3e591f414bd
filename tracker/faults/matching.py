"""Swimmers picked by the same rule: nearest in slope before, over the same dates, and not changed."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from tracker.faults.changes import Change
from tracker.faults.hinge import AFTER_MONTHS, BEFORE_MONTHS, Before, Hinge, Levels, before, hinge
from tracker.records.units import DAYS_PER_MONTH

COMPARED_EACH = 3
"""At most so many compared swimmers for each changed one."""
POOL_LIMIT = 400
"""Of a large roster so many swimmers, evenly over the names, are looked through for like ones."""
NEAR = 0.75
"""A swimmer compares if the two slopes before lie so near, in standard deviations (root mean square)."""


@dataclass(frozen=True)
class Pools:
    """What the comparison draws from: everybody's tests and everybody's changes."""

    tested: Mapping[str, Levels]
    changes: Sequence[Change]


def matched(changes: Sequence[Change], pools: Pools) -> tuple[list[Hinge], list[Hinge]]:
    """Return the changed swimmers that have a like to compare with, and these; nobody is used twice."""
    cases: list[Hinge] = []
    controls: list[Hinge] = []
    taken: set[str] = set()
    busy = _busy(pools.changes)
    every = -(-len(pools.tested) // POOL_LIMIT)
    pool_of = sorted(pools.tested.items())[:: max(every, 1)]
    for change in sorted(changes, key=lambda change: (change.date, change.swimmer)):
        case = hinge(pools.tested[change.swimmer], change.date) if change.swimmer in pools.tested else None
        if case is None or any(c.swimmer == change.swimmer for c in cases):
            continue
        pool = [
            (name, found)
            for name, tested in pool_of
            if name != change.swimmer
            and name not in taken
            and not busy(name, change)
            and (found := before(tested, change.date)) is not None
        ]
        likes = [hinge(pools.tested[name], change.date) for name in _nearest(case.before, pool)]
        near = [like for like in likes if like is not None]
        if near:
            cases.append(case)
            controls.extend(near)
            taken.update(one.swimmer for one in near)
    return cases, controls


def _busy(changes: Iterable[Change]) -> Callable[[str, Change], bool]:
    """Return whether a swimmer had a change of the same kind within the windows around a change."""
    dates: dict[tuple[str, str], list[dt.date]] = {}
    for change in changes:
        dates.setdefault((change.swimmer, change.kind), []).append(change.date)
    early = dt.timedelta(days=BEFORE_MONTHS * DAYS_PER_MONTH)
    late = dt.timedelta(days=AFTER_MONTHS * DAYS_PER_MONTH)

    def busy(name: str, change: Change) -> bool:
        own = dates.get((name, change.kind), [])
        return any(change.date - early <= day <= change.date + late for day in own)

    return busy


def _nearest(case: Before, pool: Sequence[tuple[str, Before]]) -> list[str]:
    """Return up to three of the pool whose slopes before were nearly the same."""
    if not pool:
        return []
    slopes = np.array([[one.slope, one.recent] for one in (case, *(found for _, found in pool))])
    scale = slopes.std(axis=0)
    apart = (slopes[1:] - slopes[0]) / np.where(scale > 0, scale, 1.0)
    distance = np.sqrt((apart**2).mean(axis=1))
    order = [int(place) for place in np.argsort(distance, kind="stable") if distance[place] <= NEAR]
    return [pool[place][0] for place in order[:COMPARED_EACH]]
