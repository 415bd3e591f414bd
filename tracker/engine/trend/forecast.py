"""What comes next: the forecast of pace, and when a verdict is likely.

Given that the change comes at time u the level at h is normal: today's level and rate run on to u, a rate
drawn from the roster's labels from there. u is exponential with the present label's hazard; the mixture over
it is summed on fixed points.

The present rate is known as a mixture of normals, one a label. k more tests tell it with an error of their
own; what they will say is drawn from the mixture, and the mixture as it would then be says whether some class
reaches its level. Changes of rate on the way are left out.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from tracker.engine.trend.mixture import SHIFTS, SLOW, WIDTHS, classes, normal_cdf
from tracker.engine.trend.observations import Bools, Floats, Ints, Observations
from tracker.engine.trend.posterior import Answer
from tracker.engine.trend.priors import FLAT
from tracker.model.units import DAYS_PER_MONTH

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


LONGEST = 12.0
"""Months beyond which "not within a year" is the answer."""
USUAL_GAP = 7 / DAYS_PER_MONTH
RECENT = 9
"""Test days from which the present rhythm is read."""
UNSEEN = 1.0
"""Months: a change younger than that is not seen in the tests yet, so no class can be surer than that there
was none. Chosen so that about half have their word by the number of tests said."""
NODES, NODE_WEIGHTS = np.polynomial.hermite_e.hermegauss(15)


@dataclass(frozen=True)
class Outlook:
    """How long until a verdict, (S,): `tests` and `months` from now; -1 and NaN where a year would not do.

    `gap` is the rhythm, months from one test to the next.
    """

    tests: Ints
    months: Floats
    gap: Floats


def rhythm(observations: Observations) -> Floats:
    """Return the median gap (S,) in months between the last test days of each series."""
    out = np.full(len(observations), USUAL_GAP)
    for i, n in enumerate(observations.count):
        days = np.unique(observations.t[i, :n])[-RECENT:]
        if days.size > 1:
            out[i] = float(np.median(np.diff(days)))
    return out


def until_verdict(
    observations: Observations,
    answer: Answer,
    enter: Floats,
    *,
    gap: Floats | float | None = None,
    chance: float = 0.80,
    least: tuple[int, float] = (0, 0.0),
) -> Outlook:
    """Return how many more tests, `gap` months apart, give a verdict with this chance.

    Parameters
    ----------
    enter : (S, 3) probability that each class has to reach.
    gap : months between the tests to come; default: each series' present rhythm.
    chance : probability of reaching it within that time.
    least : test days and months that a record must have before it gets a forecast.
    """
    size = len(answer)
    step = np.broadcast_to(np.asarray(rhythm(observations) if gap is None else gap, float), (size,))
    step = np.maximum(step, 1.0 / DAYS_PER_MONTH)
    weight = _weight(answer, step)
    unchanged = np.exp(-np.array(answer.priors.hazard) * UNSEEN)

    def ready(rows: Ints, k: Ints) -> Bools:
        expected = _expected_variance(answer.today[rows], weight[rows], step[rows], k)
        some = answer.labels[rows], expected, answer.band[rows], enter[rows]
        return _chance(*some, unchanged) >= chance

    tests = np.where((answer.p >= enter).any(axis=1), 0, -1)
    most = np.floor(LONGEST / step).astype(np.int64)
    rows = np.flatnonzero(tests < 0)
    rows = rows[ready(rows, most[rows])]
    # more tests tell more: halve the span between too few and enough
    few, enough = np.zeros(rows.size, np.int64), most[rows]
    while (open_ := np.flatnonzero(enough - few > 1)).size:
        middle = (few[open_] + enough[open_]) // 2
        yes = ready(rows[open_], middle)
        enough[open_[yes]], few[open_[~yes]] = middle[yes], middle[~yes]
    tests[rows] = enough
    tests = np.where(tests < 0, tests, np.maximum(tests, _lacking(observations, answer, step, *least)))
    return Outlook(tests, np.where(tests < 0, np.nan, tests * step), step)


def _lacking(observations: Observations, answer: Answer, step: Floats, tests: int, months: float) -> Ints:
    """Return how many test days (S,) a record lacks of `tests` test days and `months` of length.

    What is set aside does not count.
    """
    t = observations.t
    counted = np.arange(t.shape[1]) < observations.count[:, None]
    counted &= ~answer.set_aside[:, : t.shape[1]]
    latest = np.maximum.accumulate(np.where(counted, t, -np.inf), axis=1)
    before = np.concatenate([np.full((len(observations), 1), -np.inf), latest[:, :-1]], axis=1)
    days = (counted & (t > before)).sum(axis=1)
    first = np.where(counted, t, np.inf).min(axis=1)
    span = np.where(days > 0, latest[:, -1] - np.where(days > 0, first, 0.0), 0.0)
    lacking = np.maximum(tests - days, np.ceil((months - span) / step - 1e-9))
    return np.asarray(np.maximum(lacking, 0), np.int64)


def _weight(answer: Answer, step: Floats) -> Floats:
    """Return the precision (S,) of a test to come; correlated weeks make each count for less."""
    decay = np.exp(-step / answer.priors.correlation_months)
    inflation = (1 - answer.correlated) + answer.correlated * (1 + decay) / (1 - decay)
    return np.asarray(1.0 / (answer.noise**2 * inflation))


def _expected_variance(today: Floats, weight: Floats, step: Floats, k: Ints) -> Floats:
    """Return with what variance (S,) k more tests `step` apart would tell the present rate.

    Level and rate of today are jointly normal (`Answer.today`); the new tests extend the line.
    """
    _, _, level, variance, cross = today.T
    rows = np.stack([np.stack([level, cross], axis=1), np.stack([cross, variance], axis=1)], axis=1)
    precision = np.linalg.inv(rows)
    steps = step * (k + 1) * k / 2
    squares = step**2 * k * (k + 1) * (2 * k + 1) / 6
    precision[:, 0, 0] += weight * k
    precision[:, 0, 1] += weight * steps
    precision[:, 1, 0] += weight * steps
    precision[:, 1, 1] += weight * squares
    left = np.linalg.inv(precision)[:, 1, 1]
    return np.asarray(1.0 / np.maximum(1.0 / left - 1.0 / variance, 1e-9))


def _chance(labels: Floats, expected: Floats, band: Floats, enter: Floats, unchanged: Floats) -> Floats:
    """Return the chance (S,) that some class reaches its level when tests tell the rate so well.

    `expected` (S,) is the variance they tell it with. What they say is looked at in 15 points
    (Gauss-Hermite) for each label that may be the true one; `unchanged` (3,) is the chance of each label that
    the rate has not changed unseen since.
    """
    weight, mean, variance = labels.T  # (3, S) each
    spread = variance + expected
    said = mean[:, None] + NODES[:, None] * np.sqrt(spread)[:, None]  # (3, N, S)
    away = said[None] - mean[:, None, None]
    log = np.log(np.maximum(weight, 1e-300))[:, None, None] - 0.5 * (
        away**2 / spread[:, None, None] + np.log(spread)[:, None, None]
    )
    share = np.exp(log - log.max(axis=0))
    share /= share.sum(axis=0)
    after = (variance * expected / spread)[:, None, None]
    then = mean[:, None, None] + (variance / spread)[:, None, None] * away
    share *= unchanged[:, None, None]
    reached = (share * classes(then, np.sqrt(after), band)).sum(axis=1)
    held = (reached >= enter.T[:, None]).any(axis=0)
    each = (NODE_WEIGHTS[:, None] * held).sum(axis=1) / NODE_WEIGHTS.sum()
    return np.asarray((weight * each).sum(axis=0))


RHYTHMS = (
    ("twice a week", 3.5),
    ("weekly", 7.0),
    ("every ten days", 10.0),
    ("fortnightly", 14.0),
    ("monthly", 30.4),
)


def soonest(
    observations: Observations,
    answer: Answer,
    enter: Floats,
    *,
    chance: float = 0.80,
    least: tuple[int, float] = (0, 0.0),
) -> tuple[tuple[str, Outlook], ...]:
    """Return for each of the usual rhythms how long until a verdict would take; see `until_verdict`."""
    return tuple(
        (
            name,
            until_verdict(observations, answer, enter, gap=days / DAYS_PER_MONTH, chance=chance, least=least),
        )
        for name, days in RHYTHMS
    )
