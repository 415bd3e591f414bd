"""Average the ways a series may end over the hypotheses it was run under."""

from __future__ import annotations

from dataclasses import fields
from typing import TypeVar

import numpy as np

from tracker.trend.grid import Grid
from tracker.trend.normal import log_sum_exp, normal_cdf
from tracker.trend.observations import Floats, Ints
from tracker.trend.posterior import NEGLIGIBLE, Ends
from tracker.trend.recursion import Forward

Part = TypeVar("Part")


def gather(runs: list[Forward], grid: Grid, log_prior: Floats) -> tuple[Ends, Floats, Floats]:
    """Return the components, the log evidence (S,) and the posterior (H, S) of the H hypotheses."""
    support = np.stack([run.evidence for run in runs]) + log_prior[:, None]
    evidence = log_sum_exp(support, 0)
    chance = np.exp(support - evidence)
    series = evidence.size
    weight = np.stack(
        [w * np.exp(r.log_end - log_sum_exp(r.log_end, (0, 1))) for w, r in zip(chance, runs, strict=True)]
    )

    level, level_variance, cross = _levels(runs, grid)

    def flat(values: Floats) -> Floats:
        return values.reshape(-1, series)

    ends = Ends(
        flat(weight),
        flat(np.stack([r.slope for r in runs])),
        flat(np.stack([r.slope_variance for r in runs])),
        flat(np.stack([slower(r, w) for r, w in zip(runs, weight, strict=True)])),
        flat(level),
        flat(level_variance),
        flat(cross),
        grid.time,
    )
    return ends, evidence, chance


def _levels(runs: list[Forward], grid: Grid) -> tuple[Floats, Floats, Floats]:
    """Return level at the end, its variance and its covariance with the slope, (H, 3, G, S) each."""
    length = grid.time[-1] - grid.time[:-1]
    level = np.stack([r.level + length * r.slope for r in runs])
    variance = np.stack([r.level_variance + length * (2 * r.cross + length * r.slope_variance) for r in runs])
    return level, variance, np.stack([r.cross + length * r.slope_variance for r in runs])


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
            values.append(chosen(pieces, which))
    return type(first)(*values)


def slower(run: Forward, weight: Floats) -> Floats:
    """Return for each last segment (3, G, S) the probability that it is slower than the one before.

    The slope before is known through its covariance with the level at the knot; the present segment's tests
    move that level, and so the slope before. 0 where nothing was before, or `weight` (3, G, S) is negligible.
    """
    out = np.zeros_like(run.slope)
    for label in range(3):
        knot, series = np.nonzero(weight[label] > NEGLIGIBLE)
        before, cell = run.before(label), (label, knot, series)
        cross, variance = before.cross[knot, series], before.variance[knot, series]
        pull = cross / variance
        earlier = before.pace[knot, series] + pull * (run.level[cell] - before.mean[knot, series])
        spread = before.spread[knot, series] - pull * cross + pull * pull * run.level_variance[cell]
        spread += run.slope_variance[cell] - 2.0 * pull * run.cross[cell]
        out[cell] = normal_cdf((earlier - run.slope[cell]) / np.sqrt(np.maximum(spread, 1e-12)))
    out[:, 0] = 0.0
    return out
