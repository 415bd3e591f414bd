"""The same model, by brute force: every set of knots, every labelling, dense matrices. For small grids."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from itertools import combinations, pairwise, product

import numpy as np
from numpy.typing import NDArray
from scipy.integrate import quad
from scipy.stats import gamma

from tracker.engine.trend.priors import FLAT, Priors

Floats = NDArray[np.float64]
Labels = tuple[int, ...]
START_SD = 20.0


@dataclass(frozen=True)
class Case:
    """One segmentation: `knots` (first included), `labels`, log weight, and the exact normal posterior."""

    knots: tuple[int, ...]
    labels: tuple[int, ...]
    log_weight: float
    mean: Floats
    covariance: Floats


def enumerate_cases(
    t: Floats, y: Floats, noise: float, priors: Priors, band: float, grid: list[int]
) -> list[Case]:
    """Return every case for tests at `t` with knots at the tests numbered `grid` (the first, 0, included)."""
    mean = np.array(priors.slope_mean)
    sd = np.array([priors.slope_sd[0], priors.flat_share * band, priors.slope_sd[1]])
    cases = []
    time = t[grid]
    for size in range(len(grid)):
        for inner in combinations(range(1, len(grid)), size):
            knots = (0, *inner)
            ends = [*time[list(inner)], t[-1]]
            for labels in product(range(3), repeat=size + 1):
                if any(a == b == FLAT for a, b in pairwise(labels)):
                    continue
                log_prior = _log_prior(priors, time, float(t[-1]), (0, *inner), labels)
                columns = [np.ones_like(t)]
                columns += [np.clip(t - time[k], 0, e - time[k]) for k, e in zip(knots, ends, strict=True)]
                x = np.column_stack(columns)
                m0 = np.array([np.median(y[:3]), *mean[list(labels)]])
                v0 = np.diag([START_SD**2, *sd[list(labels)] ** 2])
                total = x @ v0 @ x.T + noise**2 * np.eye(t.size)
                residual = y - x @ m0
                gain = v0 @ x.T @ np.linalg.inv(total)
                log_like = -0.5 * (
                    residual @ np.linalg.solve(total, residual)
                    + np.linalg.slogdet(total)[1]
                    + t.size * np.log(2 * np.pi)
                )
                cases.append(
                    Case(
                        tuple(grid[k] for k in knots),
                        labels,
                        float(log_prior + log_like),
                        m0 + gain @ residual,
                        v0 - gain @ x @ v0,
                    )
                )
    return cases


@cache
def _lasting(hazard: float, months: float, *, first: bool) -> float:
    """Return P(a segment lasts longer): gamma of shape 2; of the record's first, what is left of it."""
    law = gamma(2, scale=0.5 / hazard)
    if not first:
        return float(law.sf(months))
    return 1.0 - float(quad(law.sf, 0.0, months, epsabs=1e-12)[0] / law.mean())


def _log_prior(priors: Priors, time: Floats, end: float, knots: tuple[int, ...], labels: Labels) -> float:
    weight = np.array(priors.label_weight)
    total = float(np.log(priors.opening[labels[0]]))
    for a, b in pairwise(labels):
        total += float(np.log(weight[b] / (1 - weight[FLAT] if a == FLAT else 1.0)))
    for i, (knot, label) in enumerate(zip(knots, labels, strict=True)):
        if i == len(labels) - 1:
            total += float(np.log(_lasting(priors.hazard[label], end - float(time[knot]), first=i == 0)))
            continue
        # nothing happened up to the knot before the next one, then something did
        reached, passed = (
            _lasting(priors.hazard[label], float(time[k] - time[knot]), first=i == 0)
            for k in (knots[i + 1] - 1, knots[i + 1])
        )
        total += float(np.log(reached - passed))
    return total


def weights(cases: list[Case]) -> tuple[Floats, float]:
    """Return the cases' posterior probabilities and the log evidence."""
    log = np.array([c.log_weight for c in cases])
    top = log.max()
    total = np.exp(log - top).sum()
    return np.exp(log - top) / total, float(top + np.log(total))
