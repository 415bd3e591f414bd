"""Tell a change of rate from a kind of test that was switched at the same time.

Where a feature's share among the tests changed within weeks of the onset, the switch's own offset and the
change of slope explain the same levels. The offset is then not taken as known: the series is analysed again
with it at three points of its posterior and averaged by the evidence. How far the leading class' probability
falls at the worst of them says whether the change can be separated from the switch.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

import numpy as np

from tracker.records.units import DAYS_PER_MONTH
from tracker.trend.answer import Answer
from tracker.trend.observations import Bools, Floats, Ints, Observations

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
