"""Kinds of test as columns beside the line, and switches of kind that cannot be separated from a change.

Where a feature's share among the tests changed within weeks of the onset, the switch's own offset and the
change of slope explain the same levels. The offset is then not taken as known: the series is analysed again
with it at three points of its posterior and averaged by the evidence. How far the leading class' probability
falls at the worst of them says whether the change can be separated from the switch.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace

import numpy as np

from tracker.engine.trend.observations import Bools, Floats, Ints, Observations
from tracker.engine.trend.posterior import Answer
from tracker.engine.trend.priors import Priors
from tracker.model.units import DAYS_PER_MONTH

UNKNOWN_OFFSET = (0.0, 3.0)
"""Prior mean and sd, in percent, of a feature nothing is known about."""


@dataclass(frozen=True)
class Columns:
    """Covariates of the rows of a batch.

    Attributes
    ----------
    x : (Q, S, N) features of each test relative to its series' reference kind, one step a dated event, the
        season.
    mean, sd : (Q, S) priors of their coefficients, percent.
    features : number of features among the Q.
    reference : (S,) commonest kind of each series.
    """

    x: Floats
    mean: Floats
    sd: Floats
    features: int
    reference: Ints

    def __len__(self) -> int:
        return int(self.x.shape[0])

    def shift(self, effect: Floats) -> Floats:
        """Return what the covariates add to each test (S, N), given their coefficients (Q, S)."""
        return np.asarray(np.einsum("qsn,qs->sn", self.x, effect))


def columns_of(observations: Observations, priors: Priors) -> Columns:
    """Build the columns: the design relative to the commonest kind, a step at each jump, the season."""
    series, width = observations.t.shape
    used = np.arange(width) < observations.count[:, None]
    kinds, features = observations.design.shape
    cell = observations.kind + kinds * np.arange(series)[:, None]
    tally = np.bincount(cell.ravel(), used.ravel().astype(float), kinds * series).reshape(series, kinds)
    reference = tally.argmax(axis=1)
    relative = observations.design[observations.kind] - observations.design[reference][:, None, :]
    x = [(relative * used[:, :, None]).transpose(2, 0, 1)]
    prior = [priors.offsets.get(name, UNKNOWN_OFFSET) for name in observations.features]
    events = observations.jumps.shape[1]
    if events:
        with np.errstate(invalid="ignore"):
            after = observations.t[None] >= observations.jumps.T[:, :, None]
        x.append(after & used[None])
    prior += [(0.0, priors.jump_sd)] * events
    if priors.season_sd:
        turn = 2 * np.pi * observations.t / 12.0
        x.append(np.stack([np.sin(turn), np.cos(turn)]) * used)
        prior += [(wave, priors.season_sd) for wave in priors.season]
    ones = np.ones(series)
    mean, sd = [m * ones for m, _ in prior], [s * ones for _, s in prior]
    shape = (len(prior), series)
    stacked = np.concatenate(x).astype(float)
    return Columns(stacked, np.reshape(mean, shape), np.reshape(sd, shape), features, reference)


def usual_precision(observations: Observations, priors: Priors) -> Floats:
    """Return the weight (S, N) of each test times its kind's usual precision."""
    if not observations.features:
        return observations.weight
    log_ratio = np.log([priors.noise_ratio.get(name, 1.0) for name in observations.features])
    return np.asarray(
        observations.weight * np.exp(-2.0 * (observations.design @ log_ratio))[observations.kind]
    )


NEAR = 6 * 7 / DAYS_PER_MONTH
"""Months before and after the onset whose tests are compared."""
SWITCHED = 0.5
"""Change of a feature's share among them that counts as a switch."""
NODES, NODE_WEIGHTS = (-1.2247, 0.0, 1.2247), (1 / 6, 2 / 3, 1 / 6)
"""Points of the offset's posterior, in standard deviations, and their weights."""
HIDDEN = 0.25
"""Fall of the leading class' probability from which on a change cannot be separated from the switch."""

Analyse = Callable[[Observations, Ints], Answer]


def switches(observations: Observations, answer: Answer) -> Bools:
    """Return (S, P) whether each feature was switched near the onset of the leading class."""
    series = np.arange(len(observations))
    onset = answer.onset[series, answer.p.argmax(axis=1), 1][:, None]
    used = np.arange(observations.t.shape[1]) < observations.count[:, None]
    before = used & (observations.t >= onset - NEAR) & (observations.t < onset)
    after = used & (observations.t >= onset) & (observations.t <= onset + NEAR)
    x = observations.design[observations.kind]

    def share(rows: Bools) -> Floats:
        return np.asarray((x * rows[:, :, None]).sum(axis=1) / np.maximum(rows.sum(axis=1), 1)[:, None])

    both = (before.any(axis=1) & after.any(axis=1))[:, None]
    return np.asarray(both & (np.abs(share(after) - share(before)) >= SWITCHED))


def separated(observations: Observations, answer: Answer, analyse: Analyse) -> Answer:
    """Return the answer with the offsets of switched features averaged over, and `alias` filled in.

    `analyse` answers for some of the series (observations, their numbers).
    """
    mask = switches(observations, answer)
    p, rate, alias = answer.p.copy(), answer.rate.copy(), np.zeros(mask.shape)
    for feature in range(mask.shape[1]):
        rows = np.nonzero(mask[:, feature])[0]
        if rows.size == 0:
            continue
        found = [analyse(_pinned(observations, answer, rows, feature, node), rows) for node in NODES]
        support = np.stack([f.evidence for f in found]) + np.log(NODE_WEIGHTS)[:, None]
        weight = np.exp(support - support.max(axis=0))
        weight /= weight.sum(axis=0)
        chances = np.stack([f.p for f in found])
        leading = answer.p[rows].argmax(axis=1)
        lead = chances[:, np.arange(rows.size), leading]
        # a point the evidence has all but ruled out does not count
        alias[rows, feature] = np.maximum(lead[1] - np.where(weight > 0.05, lead, lead[1]).min(axis=0), 0.0)
        p[rows] = (weight[:, :, None] * chances).sum(axis=0)
        rate[rows] = _mixed_rate(np.stack([f.rate for f in found]), weight)
    return replace(answer, p=p, rate=rate, alias=alias)


def _pinned(
    observations: Observations, answer: Answer, rows: Ints, feature: int, node: float
) -> Observations:
    """Return some series with one feature's offset taken out at a point of its posterior."""
    some = observations.take(rows)
    offset = answer.offset[rows, feature] + node * answer.offset_sd[rows, feature]
    column = observations.design[:, feature]
    relative = column[some.kind] - column[answer.reference[rows]][:, None]
    design = observations.design.copy()
    design[:, feature] = 0.0
    return replace(some, y=some.y - relative * offset[:, None], design=design)


def _mixed_rate(rates: Floats, weight: Floats) -> Floats:
    """Return 5, 50, 95 % points (S, 3) of a mixture of three, each taken for a two-piece normal (H, S, 3)."""
    middle = (weight * rates[:, :, 1]).sum(axis=0)
    out = [middle]
    for side in (0, 2):
        reach = rates[:, :, side] - rates[:, :, 1]
        square = (weight * (reach**2 + 1.645**2 * (rates[:, :, 1] - middle) ** 2)).sum(axis=0)
        out.append(middle + (1 if side else -1) * np.sqrt(square))
    return np.stack([out[1], out[0], out[2]], axis=1)
