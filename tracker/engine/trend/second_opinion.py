"""What statsmodels makes of the series on display: a second opinion with its caveats, not the engine.

Its modules take a second to load, so they are imported where they are used.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from enum import StrEnum
from itertools import pairwise
from warnings import catch_warnings, simplefilter

import numpy as np

from tracker.engine.trend.observations import Floats, Observations
from tracker.engine.trend.posterior import Answer
from tracker.engine.trend.priors import FLAT
from tracker.model.units import DAYS_PER_MONTH

Z90 = 1.645
LEVEL = 0.05
FEWEST = 8
ROUNDS = 50
"""Rounds after which a robust fit that still moves is given up."""
WEEKS_PER_MONTH = DAYS_PER_MONTH / 7


class Method(StrEnum):
    """The methods of the second opinion."""

    WLS = "wls"
    ROBUST = "robust"
    STATE_SPACE = "state-space"
    EQUIVALENCE = "equivalence"
    CUSUM = "cusum"


@dataclass(frozen=True)
class Opinion:
    """One outside view.

    Attributes
    ----------
    value : the rate in percent per month (wls, robust, state-space) or a p value (equivalence, cusum);
        None where the method did not converge, so that it has no opinion.
    low, high : its 90 % interval; None for p values.
    agrees : with the engine's leading class; None where it can't tell.
    """

    method: Method
    value: float | None
    low: float | None
    high: float | None
    agrees: bool | None


@dataclass(frozen=True)
class _Case:
    """One series as plain arrays: offsets taken out, doubtful tests weighted down."""

    t: Floats
    y: Floats
    weight: Floats
    knots: Floats
    onset: float
    band: float
    leading: int


def second_opinion(observations: Observations, answer: Answer, series: int = 0) -> tuple[Opinion, ...]:
    """Return the opinions on one series; empty with fewer than eight tests or three test days.

    Parameters
    ----------
    observations, answer : what was analysed and what came out.
    series : its row.
    """
    case = _case(observations, answer, series)
    if case.t.size < FEWEST or np.unique(case.t).size < 3:
        return ()
    found = (
        _heard(Method.WLS, _wls, case),
        _heard(Method.ROBUST, _robust, case),
        _heard(Method.STATE_SPACE, _state_space, case),
        _heard(Method.EQUIVALENCE, _equivalence, case),
        _heard(Method.CUSUM, _cusum, case),
    )
    return tuple(opinion for opinion in found if opinion is not None)


def _heard(method: Method, ask: Callable[[_Case], Opinion | None], case: _Case) -> Opinion | None:
    """Return what a method says; one that did not converge has no opinion, and says so.

    statsmodels puts filters of its own before any other when it is first imported, so that comes before ours:
    or its warnings, with the path of a file, would reach the terminal.
    """
    from statsmodels.tools.sm_exceptions import ConvergenceWarning, IterationLimitWarning

    with catch_warnings(record=True) as warned:
        simplefilter("always")
        opinion = ask(case)
    if any(issubclass(one.category, ConvergenceWarning | IterationLimitWarning) for one in warned):
        return Opinion(method, None, None, None, None)
    return opinion


def _case(observations: Observations, answer: Answer, series: int) -> _Case:
    n = int(observations.count[series])
    kind = observations.kind[series, :n]
    relative = observations.design[kind] - observations.design[int(answer.reference[series])]
    y = observations.y[series, :n] - relative @ answer.offset[series]
    weight = observations.weight[series, :n] * np.maximum(answer.ordinary[series, :n], 1e-3)
    knots = answer.knots[series]
    leading = int(answer.p[series].argmax())
    return _Case(
        observations.t[series, :n], y, weight, knots[np.isfinite(knots)],
        float(answer.onset[series, leading, 1]), float(answer.band[series]), leading,
    )  # fmt: skip


def hinges(t: Floats, knots: Floats) -> Floats:
    """Return the columns one and time spent in each segment: coefficients are level and rates."""
    edges = np.concatenate([[t[0]], knots, [np.inf]])
    parts = [np.clip(t - a, 0.0, b - a) for a, b in pairwise(edges)]
    return np.column_stack([np.ones_like(t), *parts])


def _same_class(case: _Case, rate: float) -> bool:
    held = 1 if abs(rate) <= case.band else (0 if rate > 0 else 2)
    return held == case.leading


def _spread(case: _Case, method: Method, rate: float, sd: float) -> Opinion | None:
    if not (np.isfinite(rate) and np.isfinite(sd)):
        return None
    low, high = rate - Z90 * sd, rate + Z90 * sd
    return Opinion(method, rate, low, high, _same_class(case, rate))


def _wls(case: _Case) -> Opinion | None:
    """Weighted least squares given the knots; errors robust to correlated neighbours (Newey & West 1987)."""
    from statsmodels.regression.linear_model import WLS

    design = hinges(case.t, case.knots)
    if design.shape[1] >= case.t.size - 1:
        return None
    lags = max(int(4 * (case.t.size / 100) ** (2 / 9)), 1)
    fit = WLS(case.y, design, weights=case.weight).fit(
        cov_type="HAC", cov_kwds={"maxlags": lags, "use_correction": True}
    )
    return _spread(case, Method.WLS, float(fit.params[-1]), float(fit.bse[-1]))


def _robust(case: _Case) -> Opinion | None:
    """Tukey's biweight given the knots, all tests at their plain weight."""
    from statsmodels.robust.norms import TukeyBiweight
    from statsmodels.robust.robust_linear_model import RLM

    design = hinges(case.t, case.knots)
    if design.shape[1] >= case.t.size - 1 or np.ptp(case.y) < 1e-9:
        return None
    fit = RLM(case.y, design, M=TukeyBiweight()).fit(maxiter=ROUNDS)
    if fit.fit_history["iteration"] >= ROUNDS:
        return Opinion(Method.ROBUST, None, None, None, None)
    return _spread(case, Method.ROBUST, float(fit.params[-1]), float(fit.bse[-1]))


def weekly(t: Floats, y: Floats, weight: Floats) -> Floats:
    """Return weighted weekly means, NaN where a week has no test."""
    week = np.round((t - t[0]) * WEEKS_PER_MONTH).astype(np.int64)
    total = np.bincount(week, weight)
    with np.errstate(invalid="ignore", divide="ignore"):
        return np.asarray(np.where(total > 0, np.bincount(week, weight * y) / total, np.nan))


def _state_space(case: _Case) -> Opinion | None:
    """Smoothed rate of a smooth trend (integrated random walk) on a weekly grid; it knows no knots."""
    from statsmodels.tsa.statespace.structural import UnobservedComponents

    values = weekly(case.t, case.y, case.weight)
    if np.isfinite(values).sum() < FEWEST or np.nanstd(values) < 1e-9:
        return None
    model = UnobservedComponents(values, "smooth trend")
    fit = model.fit(disp=False, maxiter=100)
    rate = float(fit.smoothed_state[1, -1]) * WEEKS_PER_MONTH
    sd = float(np.sqrt(max(fit.smoothed_state_cov[1, 1, -1], 0.0))) * WEEKS_PER_MONTH
    return _spread(case, Method.STATE_SPACE, rate, sd)


def _equivalence(case: _Case) -> Opinion | None:
    """Two one-sided tests of the present segment's rate against the band (Schuirmann 1987)."""
    from statsmodels.regression.linear_model import WLS

    late = case.t >= case.onset
    if late.sum() < 4 or np.unique(case.t[late]).size < 3 or np.ptp(case.y[late]) < 1e-9:
        return None
    design = np.column_stack([np.ones(int(late.sum())), case.t[late] - case.onset])
    fit = WLS(case.y[late], design, weights=case.weight[late]).fit()
    above = fit.t_test(([[0.0, 1.0]], [-case.band]))
    below = fit.t_test(([[0.0, 1.0]], [case.band]))
    p = max(_upper(above), 1.0 - _upper(below))
    flat = p < LEVEL
    # absence of proof is no disagreement: with few tests the band cannot be shown to hold
    agrees = True if flat and case.leading == FLAT else (False if flat else None)
    return Opinion(Method.EQUIVALENCE, p, None, None, agrees)


def _upper(test: object) -> float:
    """Return the one-sided p value of a coefficient lying above the value tested."""
    value, two_sided = float(np.ravel(test.tvalue)[0]), float(np.ravel(test.pvalue)[0])  # type: ignore[attr-defined]
    return two_sided / 2 if value > 0 else 1 - two_sided / 2


def _cusum(case: _Case) -> Opinion | None:
    """Tell whether one straight line would do: CUSUM of its residuals (Ploberger & Kramer 1992)."""
    from statsmodels.regression.linear_model import WLS
    from statsmodels.stats.diagnostic import breaks_cusumolsresid

    root = np.sqrt(case.weight / case.weight.mean())
    design = hinges(case.t, np.empty(0))
    fit = WLS(case.y, design, weights=case.weight).fit()
    residual = np.asarray(fit.resid) * root
    if np.std(residual) < 1e-9:
        return None
    _, p, _ = breaks_cusumolsresid(residual, ddof=1)
    changed = case.knots.size > 0
    return Opinion(Method.CUSUM, float(p), None, None, True if (p < LEVEL) == changed else None)
