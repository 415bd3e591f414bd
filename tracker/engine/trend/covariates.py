"""Kinds of test as columns beside the line, and switches of kind that cannot be separated from a change.

Where a feature was switched for good, its offset and a change of slope explain the same levels. The offset is
then not taken as known: the series is analysed again with it at several points of its prior and averaged by
prior and evidence. How far the leading class's probability differs among those within reason says whether the
change can be separated from the switch. The level's jump at a dated event is such a switch, too.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace

import numpy as np

from tracker.engine.trend.observations import Bools, Floats, Ints, Observations
from tracker.engine.trend.posterior import Answer
from tracker.engine.trend.priors import Priors

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
    features, reference = observations.design.shape[1], observations.reference()
    relative = observations.design[observations.kind] - observations.design[reference][:, None, :]
    x = [(relative * used[:, :, None]).transpose(2, 0, 1)]
    prior = [priors.offsets.get(name, UNKNOWN_OFFSET) for name in observations.features]
    events = observations.jumps.shape[1]
    if events:
        with np.errstate(invalid="ignore"):
            after = observations.t[None] >= observations.jumps.T[:, :, None]
        x.append(np.asarray(after & used[None], float))
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


LASTING = 0.7
"""Share of a feature's variation among the tests that one switch must explain to count as a lasting one."""
FEWEST_BESIDE = 2
"""Tests on either side of a lasting switch."""
NODES = 9
WIDEST, REACH = 2.5, 5.0
"""An effect is looked for within so many prior sds, and own sds (given the best line), of its means."""
LEAST_SD = 0.3
"""Percent: own sds are not taken for smaller, for they are those of one line."""
JUMP_MONTHS = 12.0
"""Months before the last test in which an event's jump is not taken as known."""
BELIEVED = 0.05
"""Share of the largest weight from which on a node is within reason."""
HIDDEN = 0.4
"""Difference in the leading class's probability, between effects within reason, from which on a change cannot
be separated from the switch."""

Analyse = Callable[[Observations, Ints], Answer]


@dataclass(frozen=True)
class Switch:
    """A column that was switched for good in some series: a feature, or a jump's step.

    `rows` (R,) the series; `shift` (R, N) what one unit of its effect adds to each test; `mean`, `sd` the
    effect's prior; `own`, `own_sd` (R,) what the best line makes of it.
    """

    rows: Ints
    shift: Floats
    mean: float
    sd: float
    own: Floats
    own_sd: Floats
    feature: int
    """Number of the feature; of a jump, the number of features and the number of the jump."""


def lasting(observations: Observations) -> Bools:
    """Return (S, P) whether one switch explains how each feature varies among a series' tests."""
    used = np.arange(observations.t.shape[1]) < observations.count[:, None]
    x = np.where(used[:, :, None], observations.design[observations.kind], 0.0)
    count = observations.count[:, None, None].astype(float)
    before = np.arange(1, x.shape[1] + 1)[None, :, None].astype(float)
    sums = np.cumsum(x, axis=1)
    total = sums[:, -1:, :]
    inside = (before >= FEWEST_BESIDE) & (before <= count - FEWEST_BESIDE)
    after = np.where(inside, count - before, 1.0)
    difference = (total - sums) / after - sums / before
    between = np.where(inside, before * after / count * difference**2, 0.0).max(axis=1)
    whole = (x * x).sum(axis=1) - total[:, 0] ** 2 / count[:, 0]
    return np.asarray((whole > 1e-9) & (between >= LASTING * whole))


def switches(observations: Observations, answer: Answer) -> list[Switch]:
    """Return every lasting switch of a batch, features first, and the newest event of each series.

    How far the level jumped at an older event is known from the tests since.
    """
    found: list[Switch] = []
    priors, mask = answer.priors, lasting(observations)
    for feature, name in enumerate(observations.features):
        rows = np.flatnonzero(mask[:, feature])
        if rows.size:
            column = observations.design[:, feature]
            shift = column[observations.kind[rows]] - column[answer.reference[rows]][:, None]
            mean, sd = priors.offsets.get(name, UNKNOWN_OFFSET)
            own = answer.offset[rows, feature], answer.offset_sd[rows, feature]
            found.append(Switch(rows, shift, mean, sd, *own, feature))
    newest = _newest_jump(observations)
    for jump in range(observations.jumps.shape[1]):
        rows = np.flatnonzero(newest == jump)
        if rows.size:
            step = np.asarray(observations.t[rows] >= observations.jumps[rows, jump, None], float)
            own = answer.jump[rows, jump], answer.jump_sd[rows, jump]
            number = len(observations.features) + jump
            found.append(Switch(rows, step, 0.0, priors.jump_sd, *own, number))
    return found


def _newest_jump(observations: Observations) -> Ints:
    """Return the number (S,) of each series' newest jump in its last `JUMP_MONTHS`; -1 for none."""
    if not observations.jumps.shape[1]:
        return np.full(len(observations), -1, np.int64)
    last = observations.t[np.arange(len(observations)), observations.count - 1]
    when = np.where(np.isfinite(observations.jumps), observations.jumps, -np.inf)
    newest = when.argmax(axis=1)
    recent = when.max(axis=1) >= last - JUMP_MONTHS
    return np.where(recent, newest, -1)


def separated(observations: Observations, answer: Answer, analyse: Analyse) -> Answer:
    """Return the answer with the effects of lasting switches integrated, and `alias` filled in.

    Wherever the present stretch began, a switch for good and a change of rate explain the same levels. The
    effect is not taken as known then: the series is analysed with it at several points of its prior, which
    are weighted by prior and evidence. `analyse` answers for some of the series (observations, their
    numbers). Of several switches in one series each is integrated alone; the one that moves the leading
    class most says what is known.
    """
    features = len(observations.features)
    alias = np.zeros((len(observations), features))
    most = np.full(len(observations), -1.0)
    out = answer
    for switch in switches(observations, answer):
        nodes, log_prior = _nodes(switch)
        # all nodes in one batch, node by node: for one swimmer calls are what it costs
        found = analyse(_pinned(observations, switch, nodes), np.tile(switch.rows, NODES))
        weight = found.evidence.reshape(nodes.shape) + log_prior
        weight = np.exp(weight - weight.max(axis=0))
        believed = weight >= BELIEVED
        weight /= weight.sum(axis=0)
        mixed = _mixed(answer, switch.rows, found, weight)
        leading = mixed.p.argmax(axis=1)
        lead = found.p.reshape(*nodes.shape, 3)[:, np.arange(switch.rows.size), leading]
        apart = np.where(believed, lead, -np.inf).max(axis=0) - np.where(believed, lead, np.inf).min(axis=0)
        if switch.feature < features:
            alias[switch.rows, switch.feature] = apart
        chosen = apart > most[switch.rows]
        most[switch.rows[chosen]] = apart[chosen]
        out = _with_rows(out, switch.rows[chosen], mixed, chosen)
    return replace(out, alias=alias)


def _nodes(switch: Switch) -> tuple[Floats, Floats]:
    """Return effects (K, R), evenly spaced over what prior and tests allow, and their log prior."""
    reach = REACH * np.maximum(switch.own_sd, LEAST_SD)
    low = np.maximum(switch.mean - WIDEST * switch.sd, switch.own - reach)
    high = np.minimum(switch.mean + WIDEST * switch.sd, switch.own + reach)
    # where the tests contradict the prior the prior's end is the nearest that can be meant
    low, high = np.minimum(low, high - LEAST_SD), np.maximum(high, low + LEAST_SD)
    nodes = low + (high - low) * np.linspace(0.0, 1.0, NODES)[:, None]
    return nodes, -0.5 * ((nodes - switch.mean) / switch.sd) ** 2


def _pinned(observations: Observations, switch: Switch, nodes: Floats) -> Observations:
    """Return a switch's series once a node (K, R), the effect taken out of the tests, with its column."""
    some = observations.take(np.tile(switch.rows, nodes.shape[0]))
    width = some.t.shape[1]
    y = some.y - np.tile(switch.shift[:, :width], (nodes.shape[0], 1)) * nodes.ravel()[:, None]
    features = len(observations.features)
    if switch.feature >= features:
        jumps = some.jumps.copy()
        jumps[:, switch.feature - features] = np.nan
        return replace(some, y=y, jumps=jumps)
    design = observations.design.copy()
    design[:, switch.feature] = 0.0
    return replace(some, y=y, design=design)


@dataclass(frozen=True)
class _Mixed:
    """Fields of `Answer` averaged over the nodes; of the labels the likeliest's."""

    p: Floats
    p_slowed: Floats
    month_ago: Floats
    rate: Floats
    looks_p: Floats
    looks_slower: Floats
    labels: Floats


def _mixed(answer: Answer, rows: Ints, found: Answer, weight: Floats) -> _Mixed:
    def by_node(values: Floats) -> Floats:
        return values.reshape(*weight.shape, *values.shape[1:])

    def mean(values: Floats) -> Floats:
        return np.asarray(np.einsum("ks,ks...->s...", weight, by_node(values)))

    def best(values: Floats) -> Floats:
        return np.asarray(by_node(values)[weight.argmax(axis=0), np.arange(rows.size)])

    # a node's answer may be padded less than the whole one: its looks stand at the end
    width = answer.looks.time.shape[1]
    before = width - found.looks.time.shape[1]
    pad = ((0, 0), (before, 0))
    return _Mixed(
        mean(found.p),
        mean(found.p_slowed),
        mean(found.month_ago),
        _mixed_rate(by_node(found.rate), weight),
        np.pad(mean(found.looks.p), (*pad, (0, 0))),
        np.pad(mean(found.looks.slower), pad),
        best(found.labels),
    )


def _with_rows(answer: Answer, rows: Ints, mixed: _Mixed, chosen: Bools) -> Answer:
    """Return the answer with some series' fields replaced."""

    def put(whole: Floats, part: Floats) -> Floats:
        out = whole.copy()
        out[rows] = part[chosen]
        return out

    return replace(
        answer,
        p=put(answer.p, mixed.p),
        p_slowed=put(answer.p_slowed, mixed.p_slowed),
        month_ago=put(answer.month_ago, mixed.month_ago),
        rate=put(answer.rate, mixed.rate),
        labels=put(answer.labels, mixed.labels),
        looks=replace(
            answer.looks,
            p=put(answer.looks.p, mixed.looks_p),
            slower=put(answer.looks.slower, mixed.looks_slower),
        ),
    )


def _mixed_rate(rates: Floats, weight: Floats) -> Floats:
    """Return 5, 50, 95 % points (S, 3) of a mixture of nodes (K, S, 3), each a two-piece normal."""
    middle = (weight * rates[:, :, 1]).sum(axis=0)
    out = [middle]
    for side in (0, 2):
        reach = rates[:, :, side] - rates[:, :, 1]
        square = (weight * (reach**2 + 1.645**2 * (rates[:, :, 1] - middle) ** 2)).sum(axis=0)
        out.append(middle + (1 if side else -1) * np.sqrt(square))
    return np.stack([out[1], out[0], out[2]], axis=1)
