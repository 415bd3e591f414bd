"""Hypotheses side by side in one pass are what each is alone."""

from dataclasses import fields, replace

import numpy as np
import pytest

from tests.simulate.seasons import SLOW, batch, seasons
from tracker.engine.trend.analyse import Effort, settle
from tracker.engine.trend.grid import knots
from tracker.engine.trend.hypotheses import hypotheses_of, run_hypotheses, sums_at
from tracker.engine.trend.priors import BUILT_IN
from tracker.engine.trend.recursion import forward
from tracker.engine.trend.rules import durations


def test_hypotheses_side_by_side_are_what_each_is_alone() -> None:
    tests = batch(seasons(np.random.default_rng(3), 7, SLOW), SLOW)
    state = settle(tests, BUILT_IN, np.full(7, 0.25), Effort())
    grid = knots(state.days, 26)
    lengths = durations(grid, state.rules, looks=True)
    hypotheses = hypotheses_of(state)
    runs = run_hypotheses(state, grid, lengths, hypotheses, looks=np.full(7, 0.25))
    assert hypotheses.share.size == 4
    for number, (share, scale) in enumerate(zip(hypotheses.share, hypotheses.scale, strict=True)):
        own = slice(7 * number, 7 * number + 7)
        found, sums = runs.forward, sums_at(state, grid, float(share)).with_noise(scale)
        alone = forward(sums, grid, state.rules, state.start, lengths, looks=np.full(7, 0.25))
        assert found.evidence[own] == pytest.approx(alone.evidence, abs=1e-9)
        assert found.log_end[..., own] == pytest.approx(alone.log_end, abs=1e-9)
        assert found.moving.mean[:, own] == pytest.approx(alone.moving.mean, abs=1e-9)
        assert found.filtered is not None
        assert alone.filtered is not None
        assert found.filtered.p[..., own] == pytest.approx(alone.filtered.p, abs=1e-6)


def test_sums_with_another_noise_are_those_of_tests_that_are_as_noisy() -> None:
    tests = batch(seasons(np.random.default_rng(4), 3, SLOW), SLOW)
    state = settle(tests, BUILT_IN, np.full(3, 0.25), Effort())
    grid = knots(state.days, 26)
    for share in BUILT_IN.correlated:
        scaled = sums_at(state, grid, share).with_noise(1.25)
        noisy = sums_at(replace(state, noise=1.25 * state.noise), grid, share)
        for field in fields(noisy):
            assert getattr(scaled, field.name) == pytest.approx(
                getattr(noisy, field.name), rel=1e-9, abs=1e-9
            )
