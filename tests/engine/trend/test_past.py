"""Past stretches, the fitted line, learning, and the pieces below them."""

import math
from dataclasses import replace

import numpy as np
import pytest

from tests.simulate.seasons import QUICK, batch, seasons
from tracker.engine.trend.analyse import analyse
from tracker.engine.trend.learn import learn
from tracker.engine.trend.mixture import normal_cdf
from tracker.engine.trend.observations import InfeasibleError, Observations, observations_from_lists
from tracker.engine.trend.prepare import prepare
from tracker.engine.trend.priors import BUILT_IN
from tracker.engine.trend.rules import rules_of

WEEK = 7 / 30.4375


def test_a_past_stretch_is_found_with_its_ends() -> None:
    t = np.arange(110) * WEEK
    rate = np.where((t > 8) & (t < 16), 0.0, 1.2)
    y = np.concatenate([[0], np.cumsum(rate[1:] * WEEK)]) + np.random.default_rng(1).normal(0, 0.9, 110)
    answer = analyse(observations_from_lists([t], [y]), BUILT_IN, past=True)
    (stretch,) = answer.stretches[0]
    assert not stretch.current
    assert stretch.start == pytest.approx(8, abs=1)
    assert stretch.end == pytest.approx(16, abs=1)
    assert stretch.start_low is not None
    assert stretch.start_low <= stretch.start <= stretch.start_high
    assert stretch.end_low <= stretch.end <= stretch.end_high


def test_a_series_flat_throughout_has_one_open_current_stretch() -> None:
    t = np.arange(70) * WEEK
    y = np.random.default_rng(3).normal(0, 0.9, 70)
    answer = analyse(observations_from_lists([t], [y]), BUILT_IN, past=True)
    (stretch,) = answer.stretches[0]
    assert stretch.current
    assert stretch.start_low is None
    assert stretch.start == pytest.approx(0.0, abs=1.0)  # a month: its interval is open to the start
    assert stretch.end == t[-1]


def test_the_line_covers_the_truth_and_padding_repeats_its_end() -> None:
    swimmers = seasons(np.random.default_rng(6), 40, QUICK)
    tests = batch(swimmers, QUICK)
    answer = analyse(tests, BUILT_IN, past=True)
    line = answer.line
    assert line is not None
    assert (np.diff(line.time, axis=1) >= 0).all()
    assert line.inside.min() >= 0
    assert line.inside.max() <= 1
    last = tests.t[np.arange(40), tests.count - 1]
    assert line.time[:, -1] == pytest.approx(last)
    assert line.level[:, -1] == pytest.approx(answer.today[:, 0], abs=1.0)


def test_past_of_a_batch_is_that_of_its_members() -> None:
    tests = batch(seasons(np.random.default_rng(6), 8, QUICK), QUICK)
    together = analyse(tests, BUILT_IN, past=True)
    for i in range(8):
        alone = analyse(tests.take([i]), BUILT_IN, past=True)
        assert len(alone.stretches[0]) == len(together.stretches[i])
        for a, b in zip(alone.stretches[0], together.stretches[i], strict=True):
            assert (a.start, a.end) == pytest.approx((b.start, b.end), abs=1e-6)


def test_a_roster_teaches_its_own_rate_and_noise() -> None:
    tests = batch(seasons(np.random.default_rng(4), 120, QUICK), QUICK)
    found = learn(tests, BUILT_IN, rounds=4)
    assert found.slope_mean[0] > 1.0
    assert found.noise == pytest.approx(1.05, abs=0.2)
    assert found.learned
    assert found.version == "learned from 120 series"
    assert sum(found.label_weight) == pytest.approx(1)


def test_a_small_roster_teaches_nothing() -> None:
    tests = batch(seasons(np.random.default_rng(4), 29, QUICK), QUICK)
    assert learn(tests, BUILT_IN) is BUILT_IN


def test_a_dated_jump_is_taken_out() -> None:
    t = np.arange(60) * WEEK
    y = 0.7 * t - 4.0 * (t >= t[30]) + np.random.default_rng(2).normal(0, 0.8, 60)
    told = analyse(observations_from_lists([t], [y], jumps=[[t[30]]]), BUILT_IN)
    assert told.p_gaining[0] > 0.75
    assert told.rate[0, 1] == pytest.approx(0.7, abs=0.2)


@pytest.mark.parametrize("drop", [2.0, 5.0])
def test_a_dated_jump_is_found_about_as_big_as_it_is(drop: float) -> None:
    """The first path must not bend where the level jumped: later sweeps would then find a part of it."""
    rng = np.random.default_rng(3)
    t = np.arange(70) * WEEK
    when = t[rng.integers(15, 56, 200)]
    y = [0.7 * t - drop * (t >= day) + rng.normal(0, 1.1, 70) for day in when]
    told = analyse(observations_from_lists([t] * 200, y, jumps=when[:, None].tolist()), BUILT_IN)
    assert told.jump.mean() == pytest.approx(-drop, rel=0.15)
    # 0.83 of the same swimmers without a drop: it costs next to nothing
    assert (told.p_gaining >= 0.7).mean() > 0.75
    assert ((told.rate[:, 0] <= 0.7) & (told.rate[:, 2] >= 0.7)).mean() > 0.9


def test_a_jump_is_the_same_in_any_company() -> None:
    rng = np.random.default_rng(4)
    t = [np.arange(n) * WEEK for n in (12, 40, 110, 400, 60)] + [np.arange(360.0)]
    y = [0.5 * x - 3.0 * (x >= x[7]) + rng.normal(0, 1.0, x.size) for x in t]
    jumps = [[x[7]] for x in t[:3]] + [[t[3][7], t[3][200]], [], [t[5][200]]]
    tests = observations_from_lists(t, y, jumps=jumps)
    together = analyse(tests, BUILT_IN)
    first = guessed(tests)
    assert (first[:, :4] != 0).any()
    for i in range(6):
        one = tests.take([i])
        np.testing.assert_allclose(guessed(one)[:, 0], first[:, i], atol=1e-8)
        alone = analyse(one, BUILT_IN)
        np.testing.assert_allclose(alone.jump[0], together.jump[i], atol=1e-8)
        np.testing.assert_allclose(alone.p[0], together.p[i], atol=1e-8)


def guessed(tests: Observations) -> np.ndarray:
    """Return the jumps (J, S) as they are taken before the first path is drawn."""
    return prepare(tests, BUILT_IN, rules_of(BUILT_IN, np.full(len(tests), BUILT_IN.band))).effect


def test_normal_cdf_is_accurate() -> None:
    x = np.linspace(-9, 9, 2001)
    exact = np.array([0.5 * math.erfc(-v / math.sqrt(2)) for v in x])
    assert np.abs(normal_cdf(x) - exact).max() < 1e-7


@pytest.mark.parametrize(
    ("t", "y", "word"),
    [
        ([[1.0, 0.5]], [[0.0, 0.0]], "backwards"),
        ([[0.0, np.nan]], [[0.0, 0.0]], "not finite"),
        ([[0.0, 1.0]], [[0.0, np.inf]], "not finite"),
        ([[0.0, 1.0]], [[0.0]], "has 1 values"),
        ([[]], [[]], "no tests"),
        ([], [], "0 series"),
    ],
)
def test_impossible_series_are_refused_with_the_reason(
    t: list[list[float]], y: list[list[float]], word: str
) -> None:
    with pytest.raises(InfeasibleError, match=word):
        observations_from_lists(t, y)


def test_weights_and_kinds_are_checked() -> None:
    with pytest.raises(InfeasibleError, match="weight"):
        observations_from_lists([[0.0]], [[1.0]], weight=[[0.0]])
    with pytest.raises(InfeasibleError, match="design"):
        observations_from_lists([[0.0]], [[1.0]], kind=[[3]], design=[[0.0]], features=("a",))
    with pytest.raises(InfeasibleError, match="features"):
        observations_from_lists([[0.0]], [[1.0]], design=[[0.0]])


def test_a_heavier_test_counts_for_more() -> None:
    t = np.arange(30) * WEEK
    y = np.random.default_rng(5).normal(0, 1.0, 30)
    plain = analyse(observations_from_lists([t], [y]), BUILT_IN)
    heavy = analyse(
        observations_from_lists([t], [y], weight=[np.full(30, 4.0)]), replace(BUILT_IN, noise=2.0)
    )
    assert np.ptp(heavy.rate[0]) < np.ptp(plain.rate[0]) * 1.1
