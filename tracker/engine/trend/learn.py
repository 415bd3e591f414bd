"""Priors from a roster: expectation-maximisation over all of its series, from the numbers it starts with.

Labels' slopes, weights and hazards come from the expected segments of the smoother; noise, slow days and
typing errors from the residuals; the share of swimmers with correlated weeks from the evidence of either
hypothesis. Every number is shrunk towards the start as if that had been seen in a few series too.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass, replace
from functools import partial
from math import lgamma
from typing import Protocol, TypeVar

import numpy as np

from tracker.engine.trend.analyse import Effort, batches, settle
from tracker.engine.trend.grid import knots, knots_of_the_past
from tracker.engine.trend.hypotheses import combine_runs, hypotheses_of, run_hypotheses, sums_at
from tracker.engine.trend.mixture import SLOW, TYPING
from tracker.engine.trend.observations import Floats, Observations
from tracker.engine.trend.priors import FLAT, Priors
from tracker.engine.trend.recursion import forward
from tracker.engine.trend.roster_effects import (
    offset_estimates,
    pooled_offsets,
    pooled_ratios,
    pooled_season,
    season_estimates,
    squares_by_feature,
)
from tracker.engine.trend.rules import durations
from tracker.engine.trend.smoothing import count_segments

A = TypeVar("A")
B = TypeVar("B")

FEWEST = 30
"""Series below which a roster teaches nothing."""
MOST = 600
"""Series of a larger roster that are looked at, evenly spread."""
ROUNDS = 6
EFFORT = Effort()
PAST_KNOTS = 40
"""Of the grid on which segments are counted."""
PSEUDO_SEGMENTS = 10.0
PSEUDO_TESTS = 100.0
PSEUDO_SERIES = 10.0
FLAT_SHARES = (0.15, 0.5)
"""The flat label's sd as a share of the band: no narrower, no wider, or the band loses its meaning."""
FIRST_SEASON, LEAST_SEASON = 0.15, 0.2
"""Percent: the season looked for at first, and the one below which there is none."""
LEAST_NOISE = 0.1
"""Percent: no roster is taken for steadier (assumption; a hand watch alone is good to 0.2 s in 200). With all
its times the same the noise would shrink in every round until nothing can be computed from it."""
FREEDOMS = (4.0, 6.0, 9.0, 13.0, 20.0, 30.0, 50.0, 100.0)


class Each(Protocol):
    """How a task is done for each of some parts: as `map` does it, or side by side."""

    def __call__(self, task: Callable[[A], B], parts: Iterable[A], /) -> Iterator[B]:
        """Yield what the task gives for each part, in their order."""


def learn(
    observations: Observations,
    start: Priors,
    *,
    band: float | None = None,
    rounds: int = ROUNDS,
    each: Each = map,
) -> Priors:
    """Return priors learned from the roster; `start` itself where it has fewer than 30 series.

    Parameters
    ----------
    observations : the roster.
    start : what to begin from and to shrink to.
    band : half-width of flat, default the start's.
    rounds : of expectation-maximisation.
    each : who does the batches of a round; the numbers are the same.
    """
    size = len(observations)
    if size < FEWEST:
        return start
    chosen = np.unique(np.linspace(0, size - 1, min(size, MOST)).round().astype(np.int64))
    order = chosen[np.argsort(observations.count[chosen], kind="stable")]
    parts = [observations.take(rows) for rows in batches(order)]
    priors = replace(start, season_sd=FIRST_SEASON)
    for _ in range(rounds):
        seen = _total(list(each(partial(_expected, priors=priors, band=band), parts)))
        priors = replace(
            _updated(seen, start, priors, start.band if band is None else band),
            offsets=pooled_offsets(seen.offsets, observations.features, start.offsets),
            noise_ratio=pooled_ratios(seen.by_feature, observations.features, priors.noise_ratio),
        )
    if max(priors.season_sd, *np.abs(priors.season)) < LEAST_SEASON:
        priors = replace(priors, season=(0.0, 0.0), season_sd=0.0)
    return replace(priors, version=f"learned from {size} series")


@dataclass(frozen=True)
class _Expected:
    """Sums over series; see `tracker.engine.trend.smoothing.Counted`."""

    label: Floats
    slopes: Floats
    shares: Floats
    tests: float
    hypotheses: Floats
    season: Floats
    offsets: Floats
    by_feature: Floats
    squares: Floats
    freedom: Floats


def _expected(observations: Observations, priors: Priors, band: float | None) -> _Expected:
    bands = np.full(len(observations), priors.band if band is None else band)
    state = settle(observations, priors, bands, EFFORT)
    grid = knots(state.days, EFFORT.knots)
    lengths = durations(grid, state.rules)
    hypotheses = hypotheses_of(state)
    runs = run_hypotheses(state, grid, lengths, hypotheses)
    _, _, chance = combine_runs(runs, hypotheses.log_prior, len(priors.noise_scales))
    by_share = chance.reshape(-1, len(priors.correlated), len(observations)).sum(axis=0)
    # segments are counted on a grid that short ones of the past are seen on, at the likelier share
    past = knots_of_the_past(state.days, PAST_KNOTS)
    lengths = durations(past, state.rules, ageing=False)
    sums = sums_at(state, past, np.array(priors.correlated)[by_share.argmax(axis=0)])
    result = forward(sums, past, state.rules, state.start, lengths, slopes=0)
    seen = count_segments(sums, past, state.rules, result, lengths)
    label, slopes = seen.label.sum(axis=-1), seen.slopes.sum(axis=-1)
    shares = np.where(state.used, state.reading.share, 0.0).sum(axis=(1, 2))
    return _Expected(
        label, slopes, shares, shares.sum(), by_share.sum(axis=1), season_estimates(state, priors),
        offset_estimates(state), squares_by_feature(state, observations.design, observations.kind),
        state.squares, state.freedom,
    )  # fmt: skip


def _total(parts: list[_Expected]) -> _Expected:
    # in one order of memory: a part that was in another process comes back in it, and sums go by it
    def total(name: str) -> Floats:
        return np.asarray(np.sum([np.array(getattr(p, name), order="C") for p in parts], axis=0))

    def joined(name: str) -> Floats:
        return np.concatenate([np.array(getattr(p, name), order="C") for p in parts], axis=-1)

    return _Expected(
        total("label"), total("slopes"), total("shares"), float(total("tests")), total("hypotheses"),
        joined("season"), joined("offsets"), total("by_feature"), joined("squares"), joined("freedom"),
    )  # fmt: skip


def _updated(seen: _Expected, start: Priors, now: Priors, band: float) -> Priors:
    begin = np.array(start.label_weight)
    opened = seen.label[3] + PSEUDO_SEGMENTS * np.array(start.opening)
    opening = opened / opened.sum()
    count = seen.label[0] - seen.label[3] + PSEUDO_SEGMENTS * begin
    # after a flat segment another cannot follow: those draws say nothing about how often one is flat
    free = count.sum() - seen.label[1, FLAT]
    flat = float(np.clip(count[FLAT] / max(free, count[FLAT] / 0.9), 0.05, 0.9))
    moving = count[[0, 2]] / count[[0, 2]].sum() * (1 - flat)
    hazard = (seen.label[1] + PSEUDO_SEGMENTS * np.array(start.hazard) * 8) / (
        seen.label[2] + PSEUDO_SEGMENTS * 8
    )
    usual_flat = start.flat_share * start.band
    first, second = np.array(start.slope_mean), np.array([start.slope_sd[0], usual_flat, start.slope_sd[1]])
    weight = seen.label[0] + PSEUDO_SEGMENTS
    mean = (seen.slopes[0] + PSEUDO_SEGMENTS * first) / weight
    square = (seen.slopes[1] + PSEUDO_SEGMENTS * (second**2 + (first - mean) ** 2)
              - 2 * mean * seen.slopes[0] + mean**2 * seen.label[0]) / weight  # fmt: skip
    square[FLAT] = (seen.slopes[1, FLAT] + PSEUDO_SEGMENTS * usual_flat**2) / weight[FLAT]
    sd = np.sqrt(np.maximum(square, 0.05**2))
    share = float(np.clip(sd[FLAT] / band, *FLAT_SHARES))
    odd = (seen.shares + PSEUDO_TESTS * np.array([0.0, start.slow_day, start.typing_error])) / (
        seen.tests + PSEUDO_TESTS
    )
    chance = seen.hypotheses + PSEUDO_SERIES * np.array(start.correlated_weight)
    season, season_sd = pooled_season(seen.season)
    noise, freedom = _noise(seen.squares, seen.freedom, now)
    return replace(
        now,
        label_weight=(float(moving[0]), flat, float(moving[1])),
        first_weight=(float(opening[0]), float(opening[1]), float(opening[2])),
        hazard=(float(hazard[0]), float(hazard[1]), float(hazard[2])),
        slope_mean=(float(max(mean[0], 0.05)), 0.0, float(min(mean[2], -0.05))),
        slope_sd=(float(sd[0]), float(sd[2])),
        flat_share=share,
        slow_day=float(np.clip(odd[SLOW], 0.01, 0.2)),
        typing_error=float(np.clip(odd[TYPING], 0.001, 0.05)),
        correlated_weight=tuple(float(c) for c in chance / chance.sum()),
        noise=noise,
        noise_df=freedom,
        season=season,
        season_sd=season_sd,
    )


def _noise(squares: Floats, freedom: Floats, priors: Priors) -> tuple[float, float]:
    """Return typical noise and its df by maximum likelihood: variances are scaled F (Smyth 2004)."""
    enough = freedom > 4
    if enough.sum() < FEWEST // 2:
        return priors.noise, priors.noise_df
    d, total = freedom[enough], squares[enough]
    half = np.array([lgamma(x / 2) for x in d])
    centre = float(np.median(total / d))
    best = (-np.inf, priors.noise, priors.noise_df)
    for d0 in FREEDOMS:
        for scale in np.exp(np.linspace(-0.5, 0.5, 21)):
            s2 = centre * float(scale)
            both = np.array([lgamma((x + d0) / 2) for x in d])
            log = (
                both
                - half
                - lgamma(d0 / 2)
                + 0.5 * d0 * np.log(d0 * s2)
                - 0.5 * (d + d0) * np.log(d0 * s2 + total)
            )
            if log.sum() > best[0]:
                best = (float(log.sum()), float(np.sqrt(s2)), d0)
    return max(best[1], LEAST_NOISE), best[2]
