"""Usual rate and offsets of a roster by a mixed model: the second opinion on what the roster taught."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from tracker.errors import TooFewError
from tracker.trend.answer import Answer
from tracker.trend.mixed import fit_mixed
from tracker.trend.observations import Floats, Observations

FEWEST = 5
"""Series that are needed."""


@dataclass(frozen=True)
class RosterOpinion:
    """Fixed effects over a roster and their standard errors: offsets in percent, the rate per month.

    `spread` is the standard deviation of the rate between series.
    """

    names: tuple[str, ...]
    effect: Floats
    error: Floats
    rate: float
    rate_error: float
    spread: float


def roster_opinion(observations: Observations, answer: Answer) -> RosterOpinion:
    """Fit level ~ time + features with a random level and rate a series (REML).

    One straight line a series: a rough picture of the usual rate, and an honest one of the offsets. Features
    that can't be told from others are left out.

    Raises
    ------
    TooFewError
        With fewer than five series, or where the columns can't be told apart.
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
    return RosterOpinion(
        tuple(observations.features[c] for c in varies),
        fit.fixed[2:],
        error[2:],
        float(fit.fixed[1]),
        float(error[1]),
        float(np.sqrt(max(fit.between[1, 1], 0.0))),
    )
