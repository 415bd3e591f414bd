"""Offsets, their noises and the season from a roster: each series' own estimates, pooled."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np

from tracker.engine.trend.covariates import UNKNOWN_OFFSET
from tracker.engine.trend.observations import Bools, Floats, Ints
from tracker.engine.trend.prepare import State
from tracker.engine.trend.priors import Priors

INFORMATIVE = 4.0
"""A series' own estimate counts while its variance, percent squared, is at most this."""
FEWEST = 8
"""Series with an own estimate that are needed to learn an offset."""
OFFSETS = tuple(float(v) for v in np.geomspace(0.2, 4.0, 16))
"""Standard deviations between series that are tried, percent."""
NORMAL_FROM_T = 1.25
"""Standard deviation of normal values whose best scale under a t law with 4 df is 1."""
SEASONS = (0.02, 0.04, 0.06, 0.08, 0.1, 0.12, 0.15, 0.18, 0.22, 0.27, 0.33, 0.4, 0.5, 0.7, 1.0)
SEASON_MEAN_SD = 0.3
PSEUDO_TESTS = 60.0
RATIOS = (0.4, 2.5)
"""No kind of test is taken for less noisy, or noisier, than by these factors."""


def own_estimates(effect: Floats, sd: Floats, mean: Floats, prior_sd: Floats) -> Floats:
    """Return what the series' own tests say, the prior taken out: estimates, variances (2, Q, S)."""
    precision = np.maximum(sd**-2 - prior_sd**-2, 1e-6)
    return np.stack([(effect * sd**-2 - mean * prior_sd**-2) / precision, 1.0 / precision])


def offset_estimates(state: State) -> Floats:
    """Return (2, P, S): each series' own estimate of each feature's offset and its variance."""
    n = state.columns.features
    return own_estimates(state.effect[:n], state.effect_sd[:n], state.columns.mean[:n], state.columns.sd[:n])


def pooled_offsets(
    seen: Floats, names: tuple[str, ...], start: Mapping[str, tuple[float, float]]
) -> dict[str, tuple[float, float]]:
    """Return mean and spread between series of each feature's offset; the start's where few series tell."""
    out = dict(start)
    for i, name in enumerate(names):
        estimate, variance = seen[:, i, seen[1, i] <= INFORMATIVE]
        if estimate.size < FEWEST:
            continue
        usual, width = start.get(name, UNKNOWN_OFFSET)
        best = -np.inf
        for sd in OFFSETS:
            spread = variance + sd * sd
            weight, centre = 1.0 / spread, float(np.median(estimate))
            # typing errors and fits gone wrong in single series must not widen it: a t law with 4 df
            for _ in range(4):
                weight = 5.0 / (4.0 * spread + (estimate - centre) ** 2)
                centre = float((weight @ estimate + usual / width**2) / (weight.sum() + width**-2))
            fit = float((-0.5 * np.log(spread) - 2.5 * np.log1p((estimate - centre) ** 2 / spread / 4)).sum())
            if fit > best:
                best, out[name] = fit, (centre, float(np.hypot(NORMAL_FROM_T * sd, weight.sum() ** -0.5)))
    return out


def squares_by_feature(state: State, design: Floats, kind: Ints) -> Floats:
    """Return (2, P, 2): sums of squared residuals in noises, counts of tests; without and with a feature."""
    has = (design[kind] > 0) & state.used[:, :, None]
    lacks = ~(design[kind] > 0) & state.used[:, :, None]
    mixed = np.asarray(has.any(axis=1) & lacks.any(axis=1))[:, None, :]
    square = state.reading.square[:, :, None]
    sides: list[Bools] = [lacks & mixed, has & mixed]
    return np.stack(
        [
            np.stack([(square * side).sum(axis=(0, 1)) for side in sides], axis=1),
            np.stack([side.sum(axis=(0, 1)).astype(float) for side in sides], axis=1),
        ]
    )


def pooled_ratios(seen: Floats, names: tuple[str, ...], now: Mapping[str, float]) -> dict[str, float]:
    """Return how much noisier tests with a feature are than the same series' tests without it."""
    out = dict(now)
    for i, name in enumerate(names):
        square = (seen[0, i] + PSEUDO_TESTS) / (seen[1, i] + PSEUDO_TESTS)
        out[name] = float(np.clip(now.get(name, 1.0) * np.sqrt(square[1] / square[0]), *RATIOS))
    return out


def season_estimates(state: State, priors: Priors) -> Floats:
    """Return (2, 2, S): own estimates of sine and cosine and their variances; empty without a season."""
    if not priors.season_sd:
        return np.zeros((2, 2, 0))
    mean, sd = np.array(priors.season)[:, None], np.full((2, 1), priors.season_sd)
    return own_estimates(state.effect[-2:], state.effect_sd[-2:], mean, sd)


def pooled_season(seen: Floats) -> tuple[tuple[float, float], float]:
    """Return the roster's mean wave and how far a series is from it."""
    best = (-np.inf, (0.0, 0.0), 0.0)
    for sd in SEASONS if seen.size else ():
        spread = seen[1] + sd * sd
        wave = (seen[0] / spread).sum(axis=1) / ((1.0 / spread).sum(axis=1) + SEASON_MEAN_SD**-2)
        fit = -0.5 * (np.log(spread) + (seen[0] - wave[:, None]) ** 2 / spread).sum()
        if fit > best[0]:
            best = (float(fit), (float(wave[0]), float(wave[1])), sd)
    return best[1], best[2]
