"""What the sweeps cannot settle: runs under several hypotheses, side by side, weighted by their evidence.

The share of variance that neighbouring weeks have in common and the size of the noise each change what a
few tests are worth. Every pair of them gets a forward pass of its own; all run at once, one after the other
on the last axis of every array.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, fields, replace
from typing import TypeVar

import numpy as np

from tracker.engine.trend.grid import Grid, Sums, running_sums
from tracker.engine.trend.mixture import log_sum_exp
from tracker.engine.trend.noise import whitened
from tracker.engine.trend.observations import Floats, Ints
from tracker.engine.trend.posterior import NEGLIGIBLE, Ends, Looks, classes
from tracker.engine.trend.prepare import State
from tracker.engine.trend.recursion import Durations, Forward, Rules, forward, slope_before, slower

Part = TypeVar("Part")


@dataclass(frozen=True)
class Run:
    """One forward pass and what it was run on."""

    sums: Sums
    grid: Grid
    lengths: Durations
    forward: Forward


@dataclass(frozen=True)
class Hypotheses:
    """What is not settled by the sweeps: the share of correlated variance and the noise, side by side.

    `share`, `scale` (H,); `log_prior` (H, S).
    """

    share: Floats
    scale: Floats
    log_prior: Floats


def hypotheses_of(state: State) -> Hypotheses:
    """Return every share with every noise scale; the noise's prior is the roster's (Smyth 2004)."""
    priors = state.priors
    share = np.repeat(priors.correlated, len(priors.noise_scales))
    scale = np.tile(priors.noise_scales, len(priors.correlated))
    noise = state.noise * scale[:, None] / priors.noise
    likely = -priors.noise_df * (np.log(noise) + 0.5 / noise**2)
    likely -= log_sum_exp(likely.reshape(len(priors.correlated), -1, noise.shape[1])[0], 0)
    weight = np.repeat(np.log(priors.correlated_weight), len(priors.noise_scales))
    return Hypotheses(share, scale, weight[:, None] + likely)


def run_hypotheses(
    state: State, grid: Grid, lengths: Durations, hypotheses: Hypotheses, *, looks: bool = False
) -> list[Run]:
    """Run it under every hypothesis in one pass, for calls are what a single swimmer's run consists of."""
    white = {share: sums_at(state, grid, share) for share in dict.fromkeys(hypotheses.share.tolist())}
    sums = [
        white[share].with_noise(scale)
        for share, scale in zip(hypotheses.share.tolist(), hypotheses.scale.tolist(), strict=True)
    ]
    wide, rules = repeated(grid, state.rules, len(sums))
    start = np.tile(state.start, len(sums))
    whole = forward(joined(sums), wide, rules, start, lengths, looks=looks)
    parts = parted(whole, len(sums))
    return [Run(one, grid, lengths, own) for one, own in zip(sums, parts, strict=True)]


def sums_at(state: State, grid: Grid, share: Floats | float) -> Sums:
    """Return the whitened sums between the knots at a share of correlated variance, one or (S,)."""
    noise2 = state.noise**2
    white = state.weight / ((1.0 - share) * noise2)
    columns = whitened(state.days.t, state.level, white, share * noise2, state.priors.correlation_months)
    return running_sums(grid, columns, state.days.count)


def combine_runs(runs: Sequence[Run], log_prior: Floats) -> tuple[Ends, Floats, Floats]:
    """Return the components, the log evidence (S,) and the posterior (H, S) of the H hypotheses.

    `log_prior` (H, S) or (H, 1).
    """
    results = [run.forward for run in runs]
    support = np.stack([result.evidence for result in results]) + log_prior
    evidence = log_sum_exp(support, 0)
    chance = np.exp(support - evidence)
    weight = np.stack(
        [w * np.exp(r.log_end - log_sum_exp(r.log_end, (0, 1))) for w, r in zip(chance, results, strict=True)]
    )
    before = np.stack([_before(r, w) for r, w in zip(results, weight, strict=True)], axis=1)
    length = runs[0].grid.time[-1] - runs[0].grid.time[:-1]
    slope, variance = np.stack([r.slope for r in results]), np.stack([r.slope_variance for r in results])
    level = np.stack([r.level for r in results]) + length * slope
    cross = np.stack([r.cross for r in results])
    level_variance = np.stack([r.level_variance for r in results]) + length * (2 * cross + length * variance)

    def flat(values: Floats) -> Floats:
        return values.reshape(-1, evidence.size)

    ends = Ends(
        flat(weight), flat(slope), flat(variance), *(flat(one) for one in before),
        flat(level), flat(level_variance), flat(cross + length * variance), runs[0].grid.time,
    )  # fmt: skip
    return ends, evidence, chance


def _before(run: Forward, weight: Floats) -> Floats:
    """Return for each last segment (3, G, S): P(slower than the one before), that one's rate and variance.

    Where nothing was before, or `weight` (3, G, S) is negligible, 0, 0 and 1.
    """
    out = np.zeros((3, *run.slope.shape))
    out[2] = 1.0
    for label in range(3):
        knot, series = np.nonzero(weight[label] > NEGLIGIBLE)
        before, cell, at = run.before(label), (label, knot, series), (knot, series)
        level, spread = run.level[cell], run.level_variance[cell]
        out[(0, *cell)] = slower(
            before, at, level, spread, run.slope[cell], run.slope_variance[cell], run.cross[cell]
        )
        out[(1, *cell)], out[(2, *cell)], _ = slope_before(before, at, level, spread)
    out[:2, :, 0] = 0.0
    return out


def looks_of(runs: Sequence[Run], log_prior: Floats, band: Floats, origin: Floats) -> Looks:
    """Return what was known at each knot; the rates of each label are taken for one normal."""
    filtered = [run.forward.filtered for run in runs if run.forward.filtered is not None]
    grid = runs[0].grid
    evidence = np.stack([
        log_sum_exp(f.log_weight, 0) + run.sums.constant[1:] + log_prior[h][None]
        for h, (f, run) in enumerate(zip(filtered, runs, strict=True))
    ])  # fmt: skip
    chance = np.exp(evidence - log_sum_exp(evidence, 0))
    p = np.zeros((3, *chance.shape[1:]))
    slowed = np.zeros(chance.shape[1:])
    for part, one in zip(chance, filtered, strict=True):
        share = part * np.exp(one.log_weight - log_sum_exp(one.log_weight, 0))
        p += (share * classes(one.slope, np.sqrt(one.variance), band)).sum(axis=1)
        slowed += part * one.slower
    series = band.size
    # a look at a padded knot would be the last look again: these stand first, out of the way
    real = np.vstack([grid.valid[1:], np.ones((1, series), bool)])
    order = np.argsort(real, axis=0, kind="stable")
    time = np.take_along_axis(grid.time[1:], order, 0) + origin
    p = np.take_along_axis(p, np.broadcast_to(order, p.shape), 1)
    return Looks(
        time.T,
        (p / np.maximum(p.sum(axis=0), 1e-300)).transpose(2, 1, 0),
        np.take_along_axis(slowed, order, 0).T,
        np.take_along_axis(real, order, 0).T,
    )


def joined(sums: Sequence[Sums]) -> Sums:
    """Return the sums of all, one batch after the other."""
    return Sums(*(np.concatenate([getattr(one, f.name) for one in sums], axis=-1) for f in fields(Sums)))


def repeated(grid: Grid, rules: Rules, times: int) -> tuple[Grid, Rules]:
    """Return grid and rules for the same series as often."""
    wide = Grid(*(np.tile(getattr(grid, f.name), times) for f in fields(Grid)))
    return wide, replace(rules, mean=np.tile(rules.mean, times), precision=np.tile(rules.precision, times))


def parted(whole: Part, parts: int) -> list[Part]:
    """Return what belongs to each of the batches that were joined; nothing is copied."""
    return [_part(whole, i, parts) for i in range(parts)]


def _part(whole: Part, number: int, parts: int) -> Part:
    if whole is None:
        return whole
    if isinstance(whole, np.ndarray):
        size = whole.shape[-1] // parts
        return whole[..., number * size : (number + 1) * size]  # type: ignore[return-value]
    own = [_part(getattr(whole, f.name), number, parts) for f in fields(whole)]  # type: ignore[arg-type]
    return type(whole)(*own)


def chosen(parts: list[Part], which: Ints) -> Part:
    """Return for each series (last axis of every array) the fields of the part numbered `which` (S,)."""
    first = parts[0]
    values = []
    for field in fields(first):  # type: ignore[arg-type]
        pieces = [getattr(part, field.name) for part in parts]
        if isinstance(pieces[0], np.ndarray):
            mixed = pieces[0].copy()
            for number, piece in enumerate(pieces[1:], 1):
                mixed[..., which == number] = piece[..., which == number]
            values.append(mixed)
        else:
            values.append(pieces[0] if pieces[0] is None else chosen(pieces, which))
    return type(first)(*values)
