"""Did it help: what a change did to the rate, against swimmers picked by the same rule and not changed.

A before and after alone is never shown: a swimmer whose last weeks look flat is picked at a low
point and "improves" whatever is done. So every changed swimmer is compared, over the same dates,
with the swimmers nearest in slope before (four months and six weeks) who were not changed, and only
the difference of their hinges counts. Hinges are pooled: theta_i ~ N(theta, tau^2).
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np

from tracker.errors import TooFewError
from tracker.faults.changes import Change
from tracker.faults.hinge import AFTER_MONTHS, BEFORE_MONTHS, Before, Hinge, Levels, before, hinge
from tracker.trend.observations import DAYS_PER_MONTH, Floats
from tracker.trend.pooling import Pooled, pool

LEAST_CASES = 5
"""Fewest changed, and fewest compared, swimmers for an effect (assumption)."""
COMPARED_EACH = 3
"""At most so many compared swimmers for each changed one."""
POOL_LIMIT = 400
"""Of a large roster so many swimmers, evenly over the names, are looked through for like ones."""
NEAR = 0.75
"""A swimmer compares if the two slopes before lie so near, in standard deviations (root mean square)."""
_BENT = 1e-6
"""Squared length of a hinge that can be told from a straight line."""
_PRIOR_FREEDOM = 12.0
"""Weight of the roster's noise in a swimmer's own, in degrees of freedom (METHODS 4.2)."""


@dataclass(frozen=True)
class Estimate:
    """A difference of rates, percent per month, + is faster, with 90 % and 80 % intervals."""

    value: float
    low: float
    high: float
    low80: float
    high80: float

    @property
    def excludes_zero(self) -> bool:
        """Whether the 90 % interval leaves out no difference."""
        return self.low > 0 or self.high < 0


@dataclass(frozen=True)
class Effect:
    """What a kind of change did, or how far that is from being known.

    Attributes
    ----------
    kind, fault, text
        What was changed; `text` only where one cue or drill is asked about.
    tried
        Changes of this kind on record; `changed` of them have tests enough around and a comparison.
    compared
        Swimmers they are compared with.
    gain
        Difference of the hinges, changed less compared; None if there are too few cases.
    spread
        Standard deviation of the true effect between swimmers, percent per month.
    lead
        The same difference halfway through the months before, when nothing was changed yet: where it
        leaves out zero, the two were not alike and `gain` must not be believed.
    each
        The changed swimmers' own effects (swimmer, day, percent per month), shrunken towards `gain`.
    missing
        Why there is no `gain`; empty otherwise.
    """

    kind: str
    fault: str
    text: str
    tried: int
    changed: int
    compared: int
    gain: Estimate | None = None
    spread: float | None = None
    lead: Estimate | None = None
    each: tuple[tuple[str, dt.date, float], ...] = ()
    missing: str = ""

    @property
    def alike_before(self) -> bool:
        """Whether the compared swimmers moved alike before the change."""
        return self.lead is None or not self.lead.excludes_zero

    def without(self, missing: str) -> Effect:
        """Return the counts with the reason why there is no effect."""
        return replace(self, missing=missing)


@dataclass(frozen=True)
class Pools:
    """What the comparison draws from: everybody's tests and everybody's changes."""

    tested: Mapping[str, Levels]
    changes: Sequence[Change]


def effect_of(
    changes: Sequence[Change], pools: Pools, *, until: dt.date, label: tuple[str, str, str]
) -> Effect:
    """Return the effect of `changes`, all of one kind.

    Parameters
    ----------
    until
        Nothing later is looked at.
    label
        Kind, fault and text as they shall stand in the answer.
    """
    dated = [change for change in changes if change.date <= until]
    cases, controls = _matched(dated, pools)
    counted = Effect(*label, len(dated), len(cases), len(controls))
    if len(cases) < LEAST_CASES or len(controls) < LEAST_CASES:
        return counted.without("too few cases")
    try:
        return pooled(cases, controls, counted)
    except TooFewError:
        return counted.without("cases that can't be told apart")


def compare(
    changed: Sequence[Hinge], compared: Sequence[Hinge], *, lead: bool = False
) -> tuple[Estimate, Pooled]:
    """Return the difference of the hinges of two arms, and the model behind it.

    Each series counts by its own noise, shrunken to that of all. What is left of a difference between
    the arms in slope before (the compared are near, not equal) is taken out by two columns. The
    interval is Student's; the spread between swimmers is part of it, so that what correlated weeks
    add to a single hinge is in it too.

    Raises
    ------
    TooFewError
        If the model has no solution.
    """
    cases = [*changed, *compared]
    noise = _noise(cases)
    y = [(c.lead_y if lead else c.y) / s for c, s in zip(cases, noise, strict=True)]
    h = [(c.lead_h if lead else c.h) / s for c, s in zip(cases, noise, strict=True)]
    arm = (np.arange(len(cases)) < len(changed)) * 1.0
    columns = [np.ones(len(cases)), arm]
    if not lead:
        slopes = np.array([[c.before.slope, c.before.recent] for c in cases])
        columns += list((slopes - slopes.mean(axis=0)).T)
    by_case = np.column_stack(columns)
    model = pool(y, h, by_case)
    freedom = len(cases) - by_case.shape[1]
    return _estimate(float(model.b[1]), float(model.covariance[1, 1]) ** 0.5, freedom), model


def pooled(changed: Sequence[Hinge], compared: Sequence[Hinge], counted: Effect) -> Effect:
    """Return `counted` with the effect of two arms filled in.

    Raises
    ------
    TooFewError
        If the model has no solution.
    """
    gain, model = compare(changed, compared)
    early = [[one for one in arm if one.lead_h @ one.lead_h > _BENT] for arm in (changed, compared)]
    lead = compare(*early, lead=True)[0] if min(map(len, early)) >= LEAST_CASES else None
    own = gain.value + model.own[: len(changed)]
    each = tuple((case.swimmer, case.date, float(value)) for case, value in zip(changed, own, strict=True))
    spread = model.between**0.5
    return replace(counted, gain=gain, spread=spread, lead=lead, each=each)


def _estimate(value: float, error: float, freedom: int) -> Estimate:
    from scipy.special import stdtrit

    wide, narrow = float(stdtrit(freedom, 0.95)) * error, float(stdtrit(freedom, 0.9)) * error
    return Estimate(value, value - wide, value + wide, value - narrow, value + narrow)


def _noise(cases: Sequence[Hinge]) -> Floats:
    """Return each series' standard deviation, shrunken to that of all."""
    freedom = np.array([case.freedom for case in cases], float)
    squares = np.array([case.squares for case in cases])
    common = squares.sum() / freedom.sum()
    shrunk = (_PRIOR_FREEDOM * common + squares) / (_PRIOR_FREEDOM + freedom)
    return np.asarray(np.sqrt(np.maximum(shrunk, 1e-6)), float)


def _matched(changes: Sequence[Change], pools: Pools) -> tuple[list[Hinge], list[Hinge]]:
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
