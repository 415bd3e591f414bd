"""How an answer changes under other priors, and with a rate that drifts."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from tracker.engine.trend.analyse import analyse
from tracker.engine.trend.observations import Floats, Observations
from tracker.engine.trend.posterior import Answer
from tracker.engine.trend.priors import BUILT_IN, FLAT, GAINING, SLIPPING, Priors


@dataclass(frozen=True)
class Beliefs:
    """Answers under a prior that expects half the usual progress and one that expects twice.

    `slower`, `faster` name the two; both keep noise and offsets.
    """

    slower: Answer
    faster: Answer


def other_priors(priors: Priors) -> tuple[Priors, Priors]:
    """Return priors expecting half and twice the usual gain (at least as wide), with even label weights."""
    out = []
    for factor, name in ((0.5, "half the usual progress"), (2.0, "twice the usual progress")):
        mean = (priors.slope_mean[GAINING] * factor, 0.0, priors.slope_mean[SLIPPING])
        sd = (priors.slope_sd[0] * max(factor, 1.0), priors.slope_sd[1])
        weight = _nearer(priors.label_weight, BUILT_IN.label_weight)
        first = _nearer(priors.opening, BUILT_IN.opening)
        out.append(
            replace(
                priors, slope_mean=mean, slope_sd=sd, label_weight=weight, first_weight=first, version=name
            )
        )
    return out[0], out[1]


def _nearer(
    weight: tuple[float, float, float], built_in: tuple[float, float, float]
) -> tuple[float, float, float]:
    """Return label weights with the flat one half-way to the built-in one."""
    flat = 0.5 * (weight[FLAT] + built_in[FLAT])
    scale = (1 - flat) / (1 - weight[FLAT])
    return weight[GAINING] * scale, flat, weight[SLIPPING] * scale


def under_other_priors(
    observations: Observations, priors: Priors, *, band: Floats | float | None = None
) -> Beliefs:
    """Return the answers under the two other priors."""
    slower, faster = other_priors(priors)
    return Beliefs(analyse(observations, slower, band=band), analyse(observations, faster, band=band))


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
