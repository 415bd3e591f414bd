"""What the tests to come will tell: how many until a verdict, and at which rhythm soonest.

The present rate is known as a mixture of normals, one a label. k more tests tell it with an error of their
own; what they will say is drawn from the mixture, and the mixture as it would then be says whether some class
holds the cut. Changes of rate on the way are left out.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from tracker.records.units import DAYS_PER_MONTH
from tracker.trend.answer import Answer
from tracker.trend.observations import Bools, Floats, Ints, Observations
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
    least: tuple[int, float] = (0, 0.0),
) -> Outlook:
    """Return how many more tests, `gap` months apart, give a verdict with this chance.

    Parameters
    ----------
    gap : months between the tests to come; default: each series' present rhythm.
    cut : probability a class has to reach.
    chance : of reaching it by then.
    least : test days and months that a record must have before anything is said of it.
    """
    size = len(answer)
    step = np.broadcast_to(np.asarray(rhythm(observations) if gap is None else gap, float), (size,))
    step = np.maximum(step, 1.0 / DAYS_PER_MONTH)
    weight = _weight(answer, step)

    def ready(rows: Ints, k: Ints) -> Bools:
        told = _told(answer.today[rows], weight[rows], step[rows], k)
        return _chance(answer.labels[rows], told, answer.band[rows], cut) >= chance

    tests = np.where(answer.p.max(axis=1) >= cut, 0, -1)
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
    tests = np.where(tests < 0, tests, np.maximum(tests, _short(observations, answer, step, *least)))
    return Outlook(tests, np.where(tests < 0, np.nan, tests * step), step)


def _short(observations: Observations, answer: Answer, step: Floats, tests: int, months: float) -> Ints:
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


def _told(today: Floats, weight: Floats, step: Floats, k: Ints) -> Floats:
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


def _chance(labels: Floats, told: Floats, band: Floats, cut: float) -> Floats:
    """Return the chance (S,) that some class holds the cut when tests tell the rate with variance `told`.

    What they say is looked at in 15 points (Gauss-Hermite) for each label that may be the true one.
    """
    weight, mean, variance = labels.T  # (3, S) each
    spread = variance + told
    said = mean[:, None] + NODES[:, None] * np.sqrt(spread)[:, None]  # (3, N, S)
    away = said[None] - mean[:, None, None]
    log = np.log(np.maximum(weight, 1e-300))[:, None, None] - 0.5 * (
        away**2 / spread[:, None, None] + np.log(spread)[:, None, None]
    )
    share = np.exp(log - log.max(axis=0))
    share /= share.sum(axis=0)
    after = (variance * told / spread)[:, None, None]
    then = mean[:, None, None] + (variance / spread)[:, None, None] * away
    held = (share * classes(then, np.sqrt(after), band)).sum(axis=1).max(axis=0) >= cut
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
    *,
    cut: float = 0.80,
    chance: float = 0.80,
    least: tuple[int, float] = (0, 0.0),
) -> tuple[tuple[str, Outlook], ...]:
    """Return for each of the usual rhythms how long until a verdict would take; see `until_told`."""
    return tuple(
        (
            name,
            until_told(observations, answer, gap=days / DAYS_PER_MONTH, cut=cut, chance=chance, least=least),
        )
        for name, days in RHYTHMS
    )
