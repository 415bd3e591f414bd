"""Mixed linear models with any fixed and random columns: what effects over swimmers are pooled by."""

from __future__ import annotations

import warnings
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from tracker.errors import TooFewError
from tracker.trend.observations import Floats


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
