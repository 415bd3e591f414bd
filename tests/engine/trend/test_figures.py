"""The figures to reach, on seasons that the model was not tuned on (seeds from 9000 on).

One and the same setting for all rows, priors learned from each file. Each bound is the figure to reach less
the Monte-Carlo error of 800 swimmers.
"""

import time

import numpy as np
import pytest

from tests.simulate.scoring import Score, score
from tests.simulate.seasons import JOINT, QUICK, SLOW, Style, batch, seasons
from tracker.engine.trend.analyse import Effort, analyse
from tracker.engine.trend.learn import learn
from tracker.engine.trend.observations import observations_from_lists
from tracker.engine.trend.priors import BUILT_IN

pytestmark = pytest.mark.slow
SIZE = 800


def _figures(style: Style, seed: int, threshold: float) -> Score:
    swimmers = seasons(np.random.default_rng(seed), SIZE, style)
    tests = batch(swimmers, style)
    return score(swimmers, analyse(tests, learn(tests, BUILT_IN), past=True), threshold)


@pytest.mark.parametrize("seed", [9001, 9002])
def test_quick_improvers(seed: int) -> None:
    found = _figures(QUICK, seed, 0.5)
    assert found.auc > 0.98
    assert found.named_12_20_at_5 > 0.78
    assert found.f1 > 0.84
    assert found.onset_error < 1.8
    assert 0.85 < found.onset_covered < 0.97
    assert 0.87 < found.rate_covered < 0.95
    assert found.rate_covered_least > 0.83


@pytest.mark.parametrize(("style", "seed"), [(SLOW, 9003), (SLOW, 9004), (JOINT, 9005), (JOINT, 9006)])
def test_slow_improvers(style: Style, seed: int) -> None:
    found = _figures(style, seed, 0.3)
    assert found.auc > (0.955 if style is SLOW else 0.945)
    assert found.false_plateau < 0.04
    assert found.right > 0.935
    assert found.named_6_10_months > 0.6 - 0.05 * (style is JOINT)
    assert found.named_longer > 0.8 - 0.05 * (style is JOINT)
    assert 0.87 < found.rate_covered < 0.96


def test_speed_of_a_roster_and_of_one() -> None:
    week = 7 / 30.4375
    t = np.arange(100) * week
    rng = np.random.default_rng(1)
    tests = observations_from_lists([t] * 512, list(0.5 * t + rng.normal(0, 1, (512, 100))))

    def cpu(size: int, *, past: bool) -> float:
        some, best = tests.take(slice(0, size)), np.inf
        for _ in range(3):
            start = time.process_time()
            analyse(some, BUILT_IN, past=past, effort=Effort())
            best = min(best, time.process_time() - start)
        return best

    assert 512 / cpu(512, past=False) > 1500
    assert 512 / cpu(512, past=True) > 500
    assert cpu(1, past=False) < 0.06
