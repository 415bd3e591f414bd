"""Compare a changed swimmer with similar swimmers who changed nothing.

Time in months from the date, level in percent (up = faster), slopes in percent per month.
The series is y = a + b t + theta (t - lag)+ + e, with the swimmer's own a and b. Both are taken out
by an orthonormal basis of what is left (n - 2 contrasts), which loses nothing of the restricted
likelihood; the hinge theta is what the change is asked about.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from tracker.engine.trend.observations import Floats
from tracker.model.units import DAYS_PER_MONTH
from tracker.technique.fault_timeline import Change

LAG_MONTHS = 0.7
"""Three weeks to get used to it before a change can show (two to four are usual; assumption)."""
BEFORE_MONTHS = 4.0
AFTER_MONTHS = 4.0
RECENT_MONTHS = 1.4
"""Six weeks: what a coach sees when picking by feel."""
LEAST_BEFORE, LEAST_AFTER = 6, 4
"""Fewest tests in the windows (assumption)."""


@dataclass(frozen=True)
class Levels:
    """A swimmer's test days and levels on one scale, in order; set-aside tests left out.

    Attributes
    ----------
    days : (n,) proleptic ordinals.
    y : (n,) percent, up = faster.
    """

    swimmer: str
    days: Floats
    y: Floats

    def months_from(self, date: dt.date) -> Floats:
        """Return the test days as months from `date`."""
        return (self.days - date.toordinal()) / DAYS_PER_MONTH


@dataclass(frozen=True)
class PriorSlopes:
    """A swimmer's slopes before a date: swimmers are matched by these alone.

    Attributes
    ----------
    slope : least-squares slope of the four months before.
    recent : that of the six weeks before.
    """

    slope: float
    recent: float


@dataclass(frozen=True)
class Hinge:
    """A swimmer around a date.

    Attributes
    ----------
    y, h : (n - 2,) contrasts of the levels and of the hinge.
    freedom, squares : residual degrees of freedom and sum of squares of this series' own fit.
    lead_y, lead_h : contrasts of the months before alone, with the hinge halfway through them.
    """

    swimmer: str
    date: dt.date
    before: PriorSlopes
    y: Floats
    h: Floats
    freedom: int
    squares: float
    lead_y: Floats
    lead_h: Floats


def before(tested: Levels, date: dt.date, months: float = BEFORE_MONTHS) -> PriorSlopes | None:
    """Return the slopes before `date`; None if there are too few tests before or after it."""
    t = tested.months_from(date)
    early = (t >= -months) & (t < 0)
    late = (t >= LAG_MONTHS) & (t <= AFTER_MONTHS)
    if early.sum() < LEAST_BEFORE or late.sum() < LEAST_AFTER or np.ptp(t[early]) < months / 2:
        return None
    slope = _slope(t[early], tested.y[early])
    recent = early & (t >= -RECENT_MONTHS)
    return PriorSlopes(slope, _slope(t[recent], tested.y[recent]) if recent.sum() >= 3 else slope)


def hinge(
    tested: Levels, date: dt.date, *, months: float = BEFORE_MONTHS, after: float = AFTER_MONTHS
) -> Hinge | None:
    """Return the contrasts of the `months` before and `after`; None if there are too few tests."""
    seen = before(tested, date, months)
    if seen is None:
        return None
    t = tested.months_from(date)
    used = (t >= -months) & (t <= after)
    t, y = t[used], tested.y[used]
    early = t < 0
    whole, first = contrasts(t), contrasts(t[early])
    h, level = whole @ np.maximum(t - LAG_MONTHS, 0.0), whole @ y
    if not h @ h > 1e-6:
        return None
    theta = float(h @ level / (h @ h))
    return Hinge(
        tested.swimmer,
        date,
        seen,
        level,
        h,
        freedom=level.size - 1,
        squares=float(((level - theta * h) ** 2).sum()),
        lead_y=first @ y[early],
        lead_h=first @ np.maximum(t[early] + months / 2, 0.0),
    )


def contrasts(t: Floats) -> Floats:
    """Return (n - 2, n): an orthonormal basis of all that is square to a constant and to `t`."""
    basis, _ = np.linalg.qr(np.column_stack([np.ones_like(t), t]), mode="complete")
    return np.ascontiguousarray(basis[:, 2:].T)


def _slope(t: Floats, y: Floats) -> float:
    centred = t - t.mean()
    spread = float(centred @ centred)
    return float(centred @ y / spread) if spread > 0 else 0.0


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


def _nearest(case: PriorSlopes, pool: Sequence[tuple[str, PriorSlopes]]) -> list[str]:
    """Return up to three of the pool whose slopes before were nearly the same."""
    if not pool:
        return []
    slopes = np.array([[one.slope, one.recent] for one in (case, *(found for _, found in pool))])
    scale = slopes.std(axis=0)
    apart = (slopes[1:] - slopes[0]) / np.where(scale > 0, scale, 1.0)
    distance = np.sqrt((apart**2).mean(axis=1))
    order = [int(place) for place in np.argsort(distance, kind="stable") if distance[place] <= NEAR]
    return [pool[place][0] for place in order[:COMPARED_EACH]]
