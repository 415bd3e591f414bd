"""Kinds of tests that drift apart: the 200 gets better, the 1500 does not."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from tracker.trend.answer import Answer
from tracker.trend.observations import Floats, Observations

FEWEST = 5
"""Tests with the feature and without it that are needed."""
Z90 = 1.645


@dataclass(frozen=True)
class Drift:
    """How one feature's tests move against the rest of a series, percent per month with a 90 % interval."""

    feature: str
    rate: float
    low: float
    high: float

    @property
    def apart(self) -> bool:
        """True where the interval excludes no drift."""
        return self.low > 0 or self.high < 0


def drifts(observations: Observations, answer: Answer, series: int = 0) -> tuple[Drift, ...]:
    """Return the drift of each feature that a series has enough tests with and without.

    Weighted least squares of the residuals from the joint line on the feature, time and their product: the
    line has already taken what the kinds share; the product is what they do not.
    """
    n = int(observations.count[series])
    t, ordinary = observations.t[series, :n], answer.ordinary[series, :n]
    base = np.sqrt(observations.weight[series, :n])
    residual = answer.z[series, :n] * answer.noise[series] / base
    root = base * np.sqrt(np.maximum(ordinary, 1e-3))
    when = t - t.mean()
    found = []
    for column, name in enumerate(observations.features):
        x = observations.design[observations.kind[series, :n], column]
        if min((x > 0).sum(), (x == 0).sum()) < FEWEST or np.ptp(when) <= 0:
            continue
        design = np.column_stack([np.ones(n), when, x, x * when]) * root[:, None]
        rate, sd = _last_coefficient(design, residual * root, float(answer.noise[series]))
        found.append(Drift(name, rate, rate - Z90 * sd, rate + Z90 * sd))
    return tuple(found)


def _last_coefficient(design: Floats, y: Floats, noise: float) -> tuple[float, float]:
    normal = np.linalg.pinv(design.T @ design)
    return float((normal @ design.T @ y)[-1]), float(noise * np.sqrt(max(normal[-1, -1], 0.0)))
