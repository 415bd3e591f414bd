"""The recursion against brute force: every set of knots, every labelling, dense matrices."""

import math
from dataclasses import replace

import numpy as np
import pytest

from tests.engine.trend.oracle import enumerate_cases, weights
from tracker.engine.trend.grid import Days, Grid
from tracker.engine.trend.hypotheses import Runs, combine_runs, looks_of, sums_at
from tracker.engine.trend.observations import Floats, observations_from_lists
from tracker.engine.trend.posterior import MONTH, present
from tracker.engine.trend.prepare import State, prepare
from tracker.engine.trend.priors import BUILT_IN
from tracker.engine.trend.recursion import forward
from tracker.engine.trend.rules import durations, rules_of

BAND = 0.25
NOISE = 0.7
PLAIN = replace(BUILT_IN, slow_day=1e-12, typing_error=1e-12, correlated=(0.0,), correlated_weight=(1.0,))


def _phi(x: float) -> float:
    return 0.5 * math.erfc(-x / math.sqrt(2))


Weights = tuple[float, float, float]


def _grid(days: Days, knots: list[int]) -> Grid:
    time = np.vstack([days.t[knots], days.t[days.count - 1, [0]]])
    valid = np.ones((len(knots), 1), bool)
    return Grid(np.array(knots)[:, None], time, valid, np.array([len(knots) - 1]))


def _run(state: State, grid: Grid) -> Runs:
    lengths = durations(grid, state.rules, looks=True)
    sums = sums_at(state, grid, 0.0)
    return Runs(sums, grid, forward(sums, grid, state.rules, state.start, lengths, looks=np.array([BAND])))


def _classes(mean: float, variance: float) -> Floats:
    sd = math.sqrt(variance)
    low, high = _phi((-BAND - mean) / sd), _phi((mean - BAND) / sd)
    return np.array([high, 1 - low - high, low])


def _compare(
    label_weight: Weights, grid: list[int], tests: int, seed: int, first: Weights | None = None
) -> Floats:
    """Return largest differences: classes, slowed, evidence, onset, classes a month ago, the last look."""
    rng = np.random.default_rng(seed)
    t = np.sort(rng.uniform(0, 14, tests))
    t -= t[0]
    rate = np.where(np.arange(tests) < tests // 2, 0.7, rng.choice([0, -0.4, 0.7]))
    y = np.cumsum(np.append(0, np.diff(t)) * rate) + rng.normal(0, NOISE, tests)
    y -= np.median(y)
    priors = replace(PLAIN, label_weight=label_weight, first_weight=first)
    state = prepare(observations_from_lists([t], [y]), priors, rules_of(priors, np.array([BAND])))
    state = replace(state, noise=np.array([NOISE]))
    some = _grid(state.days, grid)
    runs = _run(state, some)
    ends, evidence, _ = combine_runs(runs, np.zeros((1, 1)), 1)
    now = present(ends, np.array([BAND]))
    last = looks_of(runs, np.zeros((1, 1)), np.zeros(1)).p[0, -1]
    cases = enumerate_cases(t, y, NOISE, priors, BAND, grid)
    chance, log_evidence = weights(cases)
    p, before, slowed, onset = np.zeros(3), np.zeros(3), 0.0, np.zeros(tests)
    for case, w in zip(cases, chance, strict=True):
        p += w * _classes(case.mean[-1], case.covariance[-1, -1])
        then = 1 + max(i for i, knot in enumerate(case.knots) if i == 0 or t[knot] <= t[-1] - MONTH)
        before += w * _classes(case.mean[then], case.covariance[then, then])
        onset[case.knots[-1]] += w
        if len(case.knots) > 1:
            change = case.covariance[-1, -1] + case.covariance[-2, -2] - 2 * case.covariance[-1, -2]
            slowed += w * _phi((case.mean[-2] - case.mean[-1]) / math.sqrt(change))
    found = ends.weight[:, 0].reshape(3, len(grid)).sum(axis=0)
    return np.array(
        [
            np.abs(p - now.p[0]).max(),
            abs(slowed - now.slowed[0]),
            abs(log_evidence - evidence[0]),
            np.abs(onset[grid] - found).max(),
            np.abs(before - now.month_ago[0]).max(),
            np.abs(p - last).max(),
        ]
    )


@pytest.mark.parametrize("seed", range(5))
def test_recursion_is_exact_where_nothing_is_collapsed(seed: int) -> None:
    only_gaining = (1 - 2e-13, 1e-13, 1e-13)
    found = _compare(only_gaining, [0, 2], 7, seed)
    assert found[:5] == pytest.approx(0, abs=2e-7)
    assert found[5] < 2e-6  # in single precision


def test_recursion_agrees_with_enumeration() -> None:
    label_weight = BUILT_IN.label_weight
    errors = np.array([_compare(label_weight, [0, 4, 8, 12, 16], 24, seed) for seed in range(12)])
    assert errors[:, 0].max() < 0.05
    assert np.median(errors[:, 0]) < 0.01
    assert np.median(errors[:, 3]) < 0.02
    assert errors[:, 1].max() < 0.1
    assert errors[:, 4].max() < 0.05
    assert np.median(errors[:, 4]) < 0.015
    assert errors[:, 5].max() < 0.05


def test_recursion_agrees_with_enumeration_where_records_open_otherwise_than_they_go_on() -> None:
    first = (0.1, 0.85, 0.05)
    grid = [0, 4, 8, 12, 16]
    errors = np.array([_compare(BUILT_IN.label_weight, grid, 24, seed, first) for seed in range(12)])
    assert errors[:, 0].max() < 0.05
    assert np.median(errors[:, 0]) < 0.01
    assert np.median(errors[:, 2]) < 0.05


def test_one_label_without_knots_is_ridge_least_squares() -> None:
    rng = np.random.default_rng(5)
    t = np.sort(rng.uniform(0, 10, 15))
    t -= t[0]
    y = 0.4 * t + rng.normal(0, NOISE, 15)
    only_gaining = replace(PLAIN, label_weight=(1 - 2e-13, 1e-13, 1e-13))
    state = prepare(observations_from_lists([t], [y]), only_gaining, rules_of(only_gaining, np.array([BAND])))
    result = _run(state, _grid(state.days, [0])).forward
    noise = state.noise[0]
    x = np.column_stack([np.ones(15), t])
    prior = np.diag([20.0**-2, PLAIN.slope_sd[0] ** -2])
    precision = np.diag(state.weight[:15, 0] / noise**2)
    lean = prior @ np.array([state.start[0], PLAIN.slope_mean[0]])
    covariance = np.linalg.inv(x.T @ precision @ x + prior)
    mean = covariance @ (x.T @ precision @ state.level[:15, 0] + lean)
    assert result.slope[0, 0, 0] == pytest.approx(mean[1], abs=1e-9)
    assert result.slope_variance[0, 0, 0] == pytest.approx(covariance[1, 1], rel=1e-9)
