"""A mixed model over the roster as a second opinion on what was learned."""

from __future__ import annotations

import warnings
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from tracker.engine.trend.observations import Floats, Ints, Observations
from tracker.engine.trend.pooling import pool
from tracker.engine.trend.posterior import Answer
from tracker.errors import TooFewError


@dataclass(frozen=True)
class Mixed:
    """A fitted mixed model with P fixed and Q random effects over G groups.

    Attributes
    ----------
    fixed : (P,) estimates.
    covariance : (P, P) of the estimates.
    between : (Q, Q) covariance of the random effects.
    residual : variance of the errors.
    groups : (G,) the groups, sorted.
    random : (G, Q) each group's own departure from the fixed effects, shrunken.
    log_likelihood : restricted log likelihood at the fit.
    """

    fixed: Floats
    covariance: Floats
    between: Floats
    residual: float
    groups: tuple[int, ...]
    random: Floats
    log_likelihood: float


def fit_mixed(y: ArrayLike, fixed: ArrayLike, random: ArrayLike, group: ArrayLike) -> Mixed:
    """Fit y = fixed b + random u[group] + e by restricted maximum likelihood (REML).

    Laird & Ware (1982), Biometrics 38:963; computed by statsmodels' MixedLM. A variance on the
    boundary (no difference between groups) is a result, not a failure: its warnings are silenced.

    Parameters
    ----------
    y : (N,) responses.
    fixed : (N, P) columns of the fixed effects, the intercept included if wanted.
    random : (N, Q) columns of the random effects.
    group : (N,) whole numbers.

    Raises
    ------
    TooFewError
        If there are fewer than two groups, no more rows than fixed effects, or the columns
        can't be told apart.
    """
    from statsmodels.regression.mixed_linear_model import MixedLM

    response, columns = np.asarray(y, float), np.atleast_2d(np.asarray(fixed, float))
    effects, code = np.atleast_2d(np.asarray(random, float)), np.asarray(group, np.int64)
    if np.unique(code).size < 2 or response.size <= columns.shape[1]:
        raise TooFewError("a mixed model needs at least two groups and more rows than effects")
    if np.linalg.matrix_rank(columns) < columns.shape[1]:
        raise TooFewError("a mixed model can't tell these effects apart: too few different rows")
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        try:
            result = MixedLM(response, columns, groups=code, exog_re=effects).fit(reml=True)
            departures = result.random_effects
        except np.linalg.LinAlgError as error:
            raise TooFewError("a mixed model of so few rows has no solution") from error
    count = columns.shape[1]
    groups = tuple(sorted(departures))
    return Mixed(
        fixed=np.asarray(result.fe_params, float),
        covariance=np.asarray(result.cov_params(), float)[:count, :count],
        between=np.asarray(result.cov_re, float),
        residual=float(result.scale),
        groups=tuple(int(one) for one in groups),
        random=np.array([np.asarray(departures[one], float) for one in groups]),
        log_likelihood=float(result.llf),
    )


FEWEST = 5
"""Series that are needed."""


@dataclass(frozen=True)
class RosterOpinion:
    """Fixed effects over a roster and their standard errors: offsets in percent, the rate per month.

    `spread` is the standard deviation of the rate between series; `spread_low` (0 at least) to `spread_high`
    holds it with 90 %.
    """

    names: tuple[str, ...]
    effect: Floats
    error: Floats
    rate: float
    rate_error: float
    spread: float
    spread_low: float
    spread_high: float


def roster_opinion(observations: Observations, answer: Answer) -> RosterOpinion:
    """Fit level ~ time + features with a random level and rate a series (REML).

    One straight line a series: a rough picture of the usual rate, and an honest one of the offsets. Features
    that can't be told from others are left out.

    Raises
    ------
    TooFewError
        With fewer than five series, or where the columns are collinear.
    """
    used = np.arange(observations.t.shape[1]) < observations.count[:, None]
    keep = used & (answer.ordinary > 0.5)
    series, _ = np.nonzero(keep)
    if np.unique(series).size < FEWEST:
        raise TooFewError(f"{np.unique(series).size} series: a mixed model needs {FEWEST}")
    t = (observations.t - observations.t[:, :1])[keep]
    y = (observations.y - observations.y[:, :1])[keep]
    x = observations.design[observations.kind[keep]]
    line = np.column_stack([np.ones_like(t), t])
    varies: list[int] = []
    for column in range(x.shape[1]):
        # a feature that others make up, like a suit worn in open water only, has no effect of its own to show
        if np.linalg.matrix_rank(np.column_stack([line, x[:, [*varies, column]]])) > 2 + len(varies):
            varies.append(column)
    fit = fit_mixed(y, np.column_stack([line, x[:, varies]]), line, series)
    error = np.sqrt(np.diag(fit.covariance))
    spread = float(np.sqrt(max(fit.between[1, 1], 0.0)))
    low, high = _spread_ends(t, y - x[:, varies] @ fit.fixed[2:], series)
    return RosterOpinion(
        tuple(observations.features[c] for c in varies),
        fit.fixed[2:],
        error[2:],
        float(fit.fixed[1]),
        float(error[1]),
        spread,
        min(low, spread),
        max(high, spread),
    )


def _spread_ends(t: Floats, y: Floats, series: Ints) -> tuple[float, float]:
    """Return the 90 % interval of the standard deviation of the rate between series.

    Each series has a level of its own, of which nothing is learned: only differences from it are used. The
    offsets are taken for known. So the model is a little poorer than the fitted one, and the interval
    is widened to the fitted value where it would leave that out.
    """
    from scipy.linalg import helmert

    rows = [np.flatnonzero(series == one) for one in np.unique(series)]
    rows = [some for some in rows if np.ptp(t[some]) > 0]
    differences = [helmert(some.size) for some in rows]
    model = pool(
        [differ @ y[some] for differ, some in zip(differences, rows, strict=True)],
        [differ @ t[some] for differ, some in zip(differences, rows, strict=True)],
        np.ones((len(rows), 1)),
    )
    return model.between_low**0.5, model.between_high**0.5
