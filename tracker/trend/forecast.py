"""Where the level goes from here, allowing for one change of rate on the way.

Given that the change comes at time u the level at h is normal: today's level and rate run on to u, a rate
drawn from the roster's labels from there. u is exponential with the present label's hazard; the mixture over
it is summed on fixed points.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from tracker.trend.answer import Answer
from tracker.trend.mixture import SHIFTS, SLOW, WIDTHS
from tracker.trend.normal import normal_cdf
from tracker.trend.observations import Floats
from tracker.trend.priors import FLAT

POINTS = 24
SLOW_DAY_SQUARE = WIDTHS[SLOW] ** 2 + SHIFTS[SLOW] ** 2 - 1.0
"""What a slow day adds to the squared error of a test, in squared noises."""


@dataclass(frozen=True)
class Forecast:
    """Levels to come, (S, H): expected, and the 90 % interval of the level or of a test."""

    level: Floats
    low: Floats
    high: Floats


def forecast(answer: Answer, months: Floats, *, of_a_test: bool = True) -> Forecast:
    """Return the forecast of each series for each of `months` (H,) after its last test.

    `of_a_test` adds the noise of one test; without it the interval is that of the level.
    """
    ahead = np.asarray(months, float)
    out = np.empty((3, len(answer), ahead.size))
    for column, h in enumerate(ahead):
        weight, mean, sd = _paths(answer, float(h), of_a_test=of_a_test)
        out[0, :, column] = (weight * mean).sum(axis=0)
        out[1:, :, column] = [_point(weight, mean, sd, p) for p in (0.05, 0.95)]
    return Forecast(*out)


def chance_of(
    answer: Answer, target: Floats | float, months: Floats | float, *, of_a_test: bool = True
) -> Floats:
    """Return the probability (S,) that the level (or a test) `months` ahead is at `target` or better."""
    size = len(answer)
    aims, ahead = np.broadcast_to(target, (size,)), np.broadcast_to(np.asarray(months, float), (size,))
    out = np.empty(size)
    for h in np.unique(ahead):
        rows = ahead == h
        weight, mean, sd = _paths(answer, float(h), of_a_test=of_a_test)
        out[rows] = (weight * (1.0 - normal_cdf((aims - mean) / sd))).sum(axis=0)[rows]
    return out


def _paths(answer: Answer, h: float, *, of_a_test: bool) -> tuple[Floats, Floats, Floats]:
    """Return weight, mean and sd (K, S) of the level at h for changes at K times and for none."""
    priors = answer.priors
    hazard = answer.p @ np.array(priors.hazard)
    when = (np.arange(POINTS) + 0.5) / POINTS * h
    change = np.exp(-hazard * (when - 0.5 * h / POINTS)[:, None]) * -np.expm1(-hazard * h / POINTS)
    weight = np.concatenate([change, np.exp(-hazard * h)[None]])
    run = np.append(when, h)[:, None]
    level, rate, level_var, rate_var, cross = answer.today.T
    next_mean, next_var = _next_rate(answer)
    rest = h - run
    mean = level + run * rate + rest * next_mean
    variance = level_var + 2 * run * cross + run**2 * rate_var + rest**2 * next_var
    if of_a_test:
        # slow days will come too; typing errors are no swims
        variance = variance + answer.noise**2 * (1.0 + priors.slow_day * SLOW_DAY_SQUARE)
    return weight, mean, np.sqrt(variance)


def _next_rate(answer: Answer) -> tuple[Floats, Floats]:
    """Return mean and variance (S,) of the rate after the next change: flat does not follow flat."""
    priors = answer.priors
    weight = np.broadcast_to(np.array(priors.label_weight), answer.p.shape).copy()
    weight[:, FLAT] *= 1.0 - answer.p_flat
    weight /= weight.sum(axis=1, keepdims=True)
    means = np.array(priors.slope_mean)
    sds = np.stack(
        [np.full(len(answer), priors.slope_sd[0]), priors.flat_share * answer.band,
         np.full(len(answer), priors.slope_sd[1])], axis=1,
    )  # fmt: skip
    mean = weight @ means
    return mean, (weight * (sds**2 + means**2)).sum(axis=1) - mean**2


def _point(weight: Floats, mean: Floats, sd: Floats, share: float) -> Floats:
    centre = (weight * mean).sum(axis=0)
    spread = np.sqrt((weight * (sd**2 + (mean - centre) ** 2)).sum(axis=0))
    low, high = centre - 5 * spread, centre + 5 * spread
    for _ in range(30):
        middle = 0.5 * (low + high)
        under = (weight * normal_cdf((middle - mean) / sd)).sum(axis=0) < share
        low, high = np.where(under, middle, low), np.where(under, high, middle)
    return np.asarray(0.5 * (low + high))
