"""Effects of changes of technique: compared with similar swimmers, and shrunken.

A before and after alone is never shown: a swimmer whose last weeks look flat is picked at a low
point and "improves" whatever is done. So every changed swimmer is compared, over the same dates,
with the swimmers nearest in slope before (four months and six weeks) who were not changed, and only
the difference of their hinges counts. Hinges are pooled: theta_i ~ N(theta, tau^2).
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from tracker.engine.trend.observations import Floats
from tracker.engine.trend.pooling import Pooled, pool, shrink
from tracker.engine.trend.roster_opinion import fit_mixed
from tracker.errors import TooFewError
from tracker.technique.fault_timeline import Change, ChangeKind
from tracker.technique.matched_comparison import Hinge, Pools, matched

LEAST_CASES = 5
"""Fewest changed, and fewest compared, swimmers for an effect (assumption)."""
_BENT = 1e-6
"""Squared length of a hinge that can be distinguished from a straight line."""
_Z90 = 1.6448536269514722
_LEAST_WIDTH = 1e-6
"""Width, percent per month, that an interval without one is taken to have."""
_PRIOR_FREEDOM = 12.0
"""Weight of the roster's noise in a swimmer's own, in degrees of freedom (a first guess)."""


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
class Spread:
    """A standard deviation between swimmers, percent per month, with its 90 % interval; `low` may be 0."""

    value: float
    low: float
    high: float


@dataclass(frozen=True)
class OwnEffect:
    """One changed swimmer's effect, percent per month, shrunken towards that of all; 90 % interval."""

    swimmer: str
    date: dt.date
    value: float
    low: float
    high: float


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
        How far the true effect differs between swimmers.
    lead
        The same difference halfway through the months before, when nothing was changed yet: where it
        leaves out zero, the two were not alike and `gain` must not be believed.
    each
        The changed swimmers' own effects, averaged over all that `spread` may be: where the estimate of the
        spread is zero they are still neither equal nor certain.
    missing
        Why there is no `gain`; empty otherwise.
    general
        `gain` by a general mixed-model fitter, where asked for.
    """

    kind: ChangeKind
    fault: str
    text: str
    tried: int
    changed: int
    compared: int
    gain: Estimate | None = None
    spread: Spread | None = None
    lead: Estimate | None = None
    each: tuple[OwnEffect, ...] = ()
    missing: str = ""
    general: Estimate | None = None

    @property
    def alike_before(self) -> bool:
        """Whether the compared swimmers moved alike before the change."""
        return self.lead is None or not self.lead.excludes_zero

    def without(self, missing: str) -> Effect:
        """Return the counts with the reason why there is no effect."""
        return replace(self, missing=missing)


def effect_of(
    changes: Sequence[Change],
    pools: Pools,
    *,
    until: dt.date,
    label: tuple[ChangeKind, str, str],
    checked: bool = False,
) -> Effect:
    """Return the effect of `changes`, all of one kind.

    Parameters
    ----------
    until
        Nothing later is looked at.
    label
        Kind, fault and text as they shall stand in the answer.
    checked
        Also ask the general fitter, which takes seconds with many swimmers.
    """
    dated = [change for change in changes if change.date <= until]
    cases, controls = matched(dated, pools)
    counted = Effect(*label, len(dated), len(cases), len(controls))
    if len(cases) < LEAST_CASES or len(controls) < LEAST_CASES:
        return counted.without("too few cases")
    try:
        found = pooled(cases, controls, counted)
        return replace(found, general=general(cases, controls)) if checked else found
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
    y, h, by_case = _design(changed, compared, lead=lead)
    model = pool(y, h, by_case, counted=np.arange(by_case.shape[1]) == 1)
    error = float(model.covariance[1, 1]) ** 0.5
    return _estimate(float(model.b[1]), error, by_case.shape[0] - by_case.shape[1]), model


def general(changed: Sequence[Hinge], compared: Sequence[Hinge]) -> Estimate:
    """Return the same difference by statsmodels' MixedLM: a second opinion on the arithmetic.

    Raises
    ------
    TooFewError
        If it finds no solution.
    """
    y, h, by_case = _design(changed, compared, lead=False)
    group = np.concatenate([np.full(one.size, place) for place, one in enumerate(y)])
    hinges = np.concatenate(h)[:, None]
    model = fit_mixed(np.concatenate(y), hinges * by_case[group], hinges, group)
    error = float(model.covariance[1, 1]) ** 0.5
    return _estimate(float(model.fixed[1]), error, by_case.shape[0] - by_case.shape[1])


def _design(
    changed: Sequence[Hinge], compared: Sequence[Hinge], *, lead: bool
) -> tuple[list[Floats], list[Floats], Floats]:
    """Return levels and hinges of every series in its own noise, and what each series is."""
    cases = [*changed, *compared]
    noise = _noise(cases)
    y = [(c.lead_y if lead else c.y) / s for c, s in zip(cases, noise, strict=True)]
    h = [(c.lead_h if lead else c.h) / s for c, s in zip(cases, noise, strict=True)]
    columns = [np.ones(len(cases)), (np.arange(len(cases)) < len(changed)) * 1.0]
    if not lead:
        slopes = np.array([[c.before.slope, c.before.recent] for c in cases])
        columns += list((slopes - slopes.mean(axis=0)).T)
    return y, h, np.column_stack(columns)


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
    own = zip(changed, model.own_mean, model.own_sd, strict=False)  # the changed come first
    each = tuple(
        OwnEffect(case.swimmer, case.date, float(value), float(value - _Z90 * sd), float(value + _Z90 * sd))
        for case, value, sd in own
    )
    spread = Spread(model.between**0.5, model.between_low**0.5, model.between_high**0.5)
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


@dataclass(frozen=True)
class Shrunk:
    """An effect drawn towards none by how much such effects differ; `tried` is how many were compared."""

    effect: Effect
    value: float
    low: float
    high: float
    tried: int


def shrunk(effects: Sequence[Effect]) -> tuple[Shrunk, ...]:
    """Return those with a gain, shrunken towards zero: theta_f ~ N(0, tau^2), averaged over all tau.

    So effects that look all alike are drawn far in, yet none to zero with certainty. With one effect
    there is nothing to learn tau from: it stays as it is.
    """
    known = [(effect, effect.gain) for effect in effects if effect.gain is not None]
    if len(known) < 2:
        return tuple(Shrunk(effect, gain.value, gain.low, gain.high, len(known)) for effect, gain in known)
    errors = np.array([max(gain.high - gain.low, _LEAST_WIDTH) / (2 * _Z90) for _, gain in known])
    mean, sd = shrink(np.array([gain.value for _, gain in known]), errors)
    low, high = mean - _Z90 * sd, mean + _Z90 * sd
    return tuple(
        Shrunk(effect, float(mean[place]), float(low[place]), float(high[place]), len(known))
        for place, (effect, _) in enumerate(known)
    )
