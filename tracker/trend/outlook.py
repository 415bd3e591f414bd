"""What the tests to come will tell: how many until a verdict, and at which rhythm soonest.

The present rate is known as a normal with the answer's own width. k more tests shrink its variance v to v_k;
where its mean will then lie is itself normal with variance v - v_k. The chance of a verdict is the chance
that some class then holds the cut. Changes of rate on the way are left out, and what the labels would add is
not counted: it errs late.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from tracker.records.units import DAYS_PER_MONTH
from tracker.trend.answer import Answer
from tracker.trend.observations import Floats, Ints, Observations
from tracker.trend.posterior import classes

LONGEST = 12.0
"""Months beyond which "not within a year" is the answer."""
USUAL_GAP = 7 / DAYS_PER_MONTH
RECENT = 9
"""Test days from which the present rhythm is read."""
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


def until_told(
    observations: Observations,
    answer: Answer,
    *,
    gap: Floats | float | None = None,
    cut: float = 0.80,
    chance: float = 0.80,
) -> Outlook:
    """Return how many more tests, `gap` months apart, give a verdict with this chance.

    Parameters
    ----------
    gap : months between the tests to come; default: each series' present rhythm.
    cut : probability a class has to reach.
    chance : of reaching it by then.
    """
    size = len(answer)
    step = np.broadcast_to(np.asarray(rhythm(observations) if gap is None else gap, float), (size,))
    step = np.maximum(step, 1.0 / DAYS_PER_MONTH)
    most = int(np.ceil(LONGEST / step.min()))
    mean, variance = answer.today[:, 1], answer.today[:, 3]
    weight = _weight(answer, step)
    tests, months = np.full(size, -1), np.full(size, np.nan)
    open_ = np.arange(size)
    for k in range(most + 1):
        # every test up to ten, then in steps of a tenth: the answer is "about N more"
        if k > 10 and k % max(k // 10, 1):
            continue
        left = _variance_after(answer.today[open_], weight[open_], step[open_], k)
        ready = _chance(mean[open_], variance[open_], left, answer.band[open_], cut) >= chance
        soon = k * step[open_] <= LONGEST
        hit = open_[ready & soon]
        tests[hit], months[hit] = k, k * step[hit]
        open_ = open_[~ready & soon]
        if open_.size == 0:
            break
    return Outlook(tests, months, step)


def _weight(answer: Answer, step: Floats) -> Floats:
    """Return the precision (S,) of a test to come; correlated weeks make each count for less."""
    decay = np.exp(-step / answer.priors.correlation_months)
    inflation = (1 - answer.correlated) + answer.correlated * (1 + decay) / (1 - decay)
    return np.asarray(1.0 / (answer.noise**2 * inflation))


def _variance_after(today: Floats, weight: Floats, step: Floats, k: int) -> Floats:
    """Return the variance (S,) of the present rate after k more tests `step` apart.

    Level and rate of today are jointly normal (`Answer.today`); the new tests extend the line.
    """
    _, _, level, variance, cross = today.T
    if k == 0:
        return np.asarray(variance)
    rows = np.stack([np.stack([level, cross], axis=1), np.stack([cross, variance], axis=1)], axis=1)
    precision = np.linalg.inv(rows)
    steps = step * (k + 1) * k / 2
    squares = step**2 * k * (k + 1) * (2 * k + 1) / 6
    precision[:, 0, 0] += weight * k
    precision[:, 0, 1] += weight * steps
    precision[:, 1, 0] += weight * steps
    precision[:, 1, 1] += weight * squares
    return np.asarray(np.linalg.inv(precision)[:, 1, 1])


def _chance(mean: Floats, variance: Floats, left: Floats, band: Floats, cut: float) -> Floats:
    spread = np.sqrt(np.maximum(variance - left, 0.0))
    means = mean + NODES[:, None] * spread
    held = classes(means, np.sqrt(left), band).max(axis=0) >= cut
    return np.asarray((NODE_WEIGHTS[:, None] * held).sum(axis=0) / NODE_WEIGHTS.sum())


RHYTHMS = (
    ("twice a week", 3.5),
    ("weekly", 7.0),
    ("every ten days", 10.0),
    ("fortnightly", 14.0),
    ("monthly", 30.4),
)


def soonest(
    observations: Observations, answer: Answer, *, cut: float = 0.80, chance: float = 0.80
) -> tuple[tuple[str, Outlook], ...]:
    """Return for each of the usual rhythms how long until a verdict would take."""
    return tuple(
        (name, until_told(observations, answer, gap=days / DAYS_PER_MONTH, cut=cut, chance=chance))
        for name, days in RHYTHMS
    )
