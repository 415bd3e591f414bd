"""Hypotheses side by side in one pass are what each is alone."""

import numpy as np
import pytest

from tests.simulate.seasons import SLOW, batch, seasons
from tracker.engine.trend.analyse import Effort, run, run_each, settle
from tracker.engine.trend.grid import knots
from tracker.engine.trend.priors import BUILT_IN


def test_shares_side_by_side_are_what_each_is_alone() -> None:
    tests = batch(seasons(np.random.default_rng(3), 7, SLOW), SLOW)
    state = settle(tests, BUILT_IN, np.full(7, 0.25), Effort())
    grid = knots(state.days, 30, BUILT_IN.min_last)
    shares = (0.0, 0.2, 0.4)
    for share, found in zip(shares, run_each(state, grid, shares), strict=True):
        alone = run(state, grid, share)
        assert found.forward.evidence == pytest.approx(alone.forward.evidence, abs=1e-9)
        assert found.forward.log_end == pytest.approx(alone.forward.log_end, abs=1e-9)
        assert found.forward.moving.mean == pytest.approx(alone.forward.moving.mean, abs=1e-9)
        assert found.sums.oy == pytest.approx(alone.sums.oy)
