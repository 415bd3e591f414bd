"""What the sweeps cannot settle: runs under several hypotheses, side by side, weighted by their evidence.

The share of variance that neighbouring weeks have in common and the size of the noise each change what a
few tests are worth. Every pair of them gets a forward pass of its own; all run at once, one after the other
on the last axis of every array.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, fields, replace

import numpy as np

from tracker.engine.trend.grid import Grid, Sums, running_sums
from tracker.engine.trend.messages import slope_before
from tracker.engine.trend.mixture import log_sum_exp
from tracker.engine.trend.noise import whitened
from tracker.engine.trend.observations import Floats
from tracker.engine.trend.posterior import NEGLIGIBLE, Ends, Looks
from tracker.engine.trend.prepare import State
from tracker.engine.trend.recursion import Forward, forward
from tracker.engine.trend.rules import Durations, Rules


@dataclass(frozen=True)
class Runs:
    """A forward pass under every hypothesis: columns h S + s of `sums` and `forward` are hypothesis h of s.

    `grid` is that of the S series.
    """

    sums: Sums
    grid: Grid
    forward: Forward


@dataclass(frozen=True)
class Hypotheses:
    """What is not settled by the sweeps: the share of correlated variance and the noise, side by side.

    `share`, `scale` (H,); `log_prior` (H, S), up to a constant.
    """

    share: Floats
    scale: Floats
    log_prior: Floats


def hypotheses_of(state: State) -> Hypotheses:
    """Return every share at the first noise scale, then at the next.

    The noise's prior is the roster's (Smyth 2004).
    """
    priors = state.priors
    share = np.tile(priors.correlated, len(priors.noise_scales))
    scale = np.repeat(priors.noise_scales, len(priors.correlated))
    noise = np.array(priors.noise_scales)[:, None] * state.noise / priors.noise
    # a density, not a share: the same for a series read with another noise, as where an effect is pinned
    likely = -priors.noise_df * (np.log(noise) + 0.5 / noise**2 - 0.5)
    weight = np.tile(np.log(priors.correlated_weight), len(priors.noise_scales))
    return Hypotheses(share, scale, weight[:, None] + np.repeat(likely, len(priors.correlated), axis=0))


def run_hypotheses(
    state: State, grid: Grid, lengths: Durations, hypotheses: Hypotheses, *, looks: Floats | None = None
) -> Runs:
    """Run it under every hypothesis in one pass, for calls are what a single swimmer's run consists of."""
    white = {share: sums_at(state, grid, share) for share in dict.fromkeys(hypotheses.share.tolist())}
    sums = joined([
        white[share].with_noise(scale)
        for share, scale in zip(hypotheses.share.tolist(), hypotheses.scale.tolist(), strict=True)
    ])  # fmt: skip
    times = hypotheses.share.size
    wide, rules = repeated(grid, state.rules, times)
    # slopes before the knots hardly hang on the size of the noise: they are kept for the first one
    slopes = len(white) * state.start.size
    start = np.tile(state.start, times)
    return Runs(
        sums,
        grid,
        forward(
            sums,
            wide,
            rules,
            start,
            lengths,
            slopes=slopes,
            looks=None if looks is None else np.tile(looks, times),
        ),
    )


def sums_at(state: State, grid: Grid, share: Floats | float) -> Sums:
    """Return the whitened sums between the knots at a share of correlated variance, one or (S,)."""
    noise2 = state.noise**2
    white = state.weight / ((1.0 - share) * noise2)
    columns = whitened(state.days.t, state.level, white, share * noise2, state.priors.correlation_months)
    return running_sums(grid, columns, state.days.count)


def combine_runs(runs: Runs, log_prior: Floats, scales: int) -> tuple[Ends, Floats, Floats]:
    """Return the components, the log evidence (S,) and the posterior (H, S) of the H hypotheses.

    `log_prior` (H, S) holds every share at the first of so many noise `scales`, then at the next.
    """
    result, grid = runs.forward, runs.grid
    support = result.evidence.reshape(log_prior.shape) + log_prior
    evidence = log_sum_exp(support, 0)
    chance = np.exp(support - evidence)
    weight = chance.ravel() * np.exp(result.log_end - log_sum_exp(result.log_end, (0, 1)))
    length = np.tile(grid.time[-1] - grid.time[:-1], log_prior.shape[0])
    step = length * result.slope_variance

    shares = log_prior.shape[0] // scales

    def parts(values: Floats) -> Floats:
        return values.reshape(*values.shape[:2], scales, shares, evidence.size)

    # one component a share, label and knot: its slopes at the noises lie close together
    whole = parts(weight)
    total = whole.sum(axis=2)
    part = (whole + 1e-290) / (total + scales * 1e-290)[:, :, None]

    def mean(values: Floats) -> Floats:
        return np.asarray((part * parts(values)).sum(axis=2))

    def flat(values: Floats) -> Floats:
        return values.transpose(2, 0, 1, 3).reshape(-1, evidence.size)

    rate = mean(result.slope)
    away = parts(result.slope) - rate[:, :, None]
    variance = mean(result.slope_variance) + (part * away * away).sum(axis=2)
    slower, earlier, earlier_variance = (mean(one) for one in _before(result, weight))
    ends = Ends(
        flat(total), flat(rate), flat(variance), flat(slower), flat(earlier), flat(earlier_variance),
        flat(mean(result.level + length * result.slope)),
        flat(mean(result.level_variance + length * (2 * result.cross + step))),
        flat(mean(result.cross + step)), grid.time,
    )  # fmt: skip
    return ends, evidence, chance


def _before(run: Forward, weight: Floats) -> Floats:
    """Return for each last segment (3, G, H S): P(slower than the one before), that one's rate and variance.

    Where nothing was before, or `weight` (3, G, H S) is negligible, 0, 0 and 1.
    """
    out = np.zeros((3, *run.slope.shape))
    out[2] = 1.0
    for label in range(3):
        knot, column = np.nonzero(weight[label] > NEGLIGIBLE)
        cell = (label, knot, column)
        before = slope_before(run.before(label), knot, column, run.level[cell], run.level_variance[cell])
        out[(0, *cell)] = before.slower(run.slope[cell], run.slope_variance[cell], run.cross[cell])
        out[(1, *cell)], out[(2, *cell)] = before.mean, before.variance
    out[:2, :, 0] = 0.0
    return out


def looks_of(runs: Runs, log_prior: Floats, origin: Floats) -> Looks:
    """Return what was known at each knot.

    Raises
    ------
    ValueError
        If the runs were not asked for looks.
    """
    filtered, grid = runs.forward.filtered, runs.grid
    if filtered is None:
        raise ValueError("the forward pass was not asked for looks")
    hypotheses, series = log_prior.shape
    size = grid.valid.shape[0]
    evidence = (filtered.log_weight + runs.sums.constant[1:]).reshape(size, hypotheses, series) + log_prior
    chance = np.exp(evidence - log_sum_exp(evidence, 1)[:, None])
    p = (chance * filtered.p.reshape(3, size, hypotheses, series)).sum(axis=2)
    shares = filtered.slower.shape[1] // series
    by_share = chance.reshape(size, -1, shares, series).sum(axis=1)
    slower = (by_share * filtered.slower.reshape(by_share.shape)).sum(axis=1)
    # a look at a padded knot would be the last look again: these stand first, out of the way
    real = np.vstack([grid.valid[1:], np.ones((1, series), bool)])
    order = np.argsort(real, axis=0, kind="stable")
    time = np.take_along_axis(grid.time[1:], order, 0) + origin
    p = np.take_along_axis(p, np.broadcast_to(order, p.shape), 1)
    return Looks(
        time.T,
        (p / np.maximum(p.sum(axis=0), 1e-300)).transpose(2, 1, 0),
        np.take_along_axis(slower, order, 0).T,
        np.take_along_axis(real, order, 0).T,
    )


def joined(sums: Sequence[Sums]) -> Sums:
    """Return the sums of all, one batch after the other."""
    return Sums(*(np.concatenate([getattr(one, f.name) for one in sums], axis=-1) for f in fields(Sums)))


def repeated(grid: Grid, rules: Rules, times: int) -> tuple[Grid, Rules]:
    """Return grid and rules for the same series as often."""
    wide = Grid(*(np.tile(getattr(grid, f.name), times) for f in fields(Grid)))
    return wide, replace(rules, mean=np.tile(rules.mean, times), precision=np.tile(rules.precision, times))
