"""Laws of the whole way from tests to posterior."""

from dataclasses import replace

import numpy as np
import pytest

from tests.simulate.seasons import JOINT, SLOW, Style, batch, seasons
from tracker.engine.trend.analyse import Effort, analyse
from tracker.engine.trend.forecast import until_verdict
from tracker.engine.trend.learn import learn
from tracker.engine.trend.observations import Floats, Observations, observations_from_lists
from tracker.engine.trend.posterior import Answer
from tracker.engine.trend.priors import BUILT_IN
from tracker.engine.trend.second_opinion import second_opinion

WEEK = 7 / 30.4375


def _swimmers(size: int = 12, style: Style = SLOW, seed: int = 3) -> Observations:
    return batch(seasons(np.random.default_rng(seed), size, style), style)


def _numbers(answer: Answer) -> Floats:
    return np.column_stack([answer.p, answer.rate, answer.p_slowed, answer.noise, answer.before_record])


def test_probabilities_sum_to_one_and_intervals_are_ordered() -> None:
    answer = analyse(_swimmers(), BUILT_IN)
    assert answer.p.sum(axis=1) == pytest.approx(1)
    assert (np.diff(answer.rate, axis=1) > 0).all()
    assert (np.diff(answer.onset, axis=2) >= 0).all()
    assert ((answer.p_slowed >= 0) & (answer.p_slowed <= 1)).all()


def test_shifting_levels_and_times_changes_nothing() -> None:
    tests = _swimmers()
    there = analyse(tests, BUILT_IN)
    moved = analyse(replace(tests, t=tests.t + 600.0, y=tests.y - 470.0), BUILT_IN)
    assert _numbers(moved) == pytest.approx(_numbers(there), abs=1e-6)
    assert moved.onset - 600.0 == pytest.approx(there.onset, abs=1e-6)


def test_scaling_levels_noise_and_beliefs_together_scales_the_rates() -> None:
    tests = _swimmers()
    scaled = replace(
        BUILT_IN,
        slope_mean=(1.2, 0.0, -1.2),
        slope_sd=(0.9, 1.6),
        noise=2 * BUILT_IN.noise,
        band=2 * BUILT_IN.band,
    )
    there, twice = analyse(tests, BUILT_IN), analyse(replace(tests, y=2 * tests.y), scaled)
    # the first level's prior, 20 percent wide, is the only thing that does not scale
    assert twice.p == pytest.approx(there.p, abs=2e-3)
    assert twice.rate == pytest.approx(2 * there.rate, abs=5e-3)


def test_mirrored_levels_with_mirrored_beliefs_swap_gaining_and_slipping() -> None:
    tests = _swimmers()
    even = replace(
        BUILT_IN,
        slope_mean=(0.5, 0.0, -0.5),
        slope_sd=(0.4, 0.4),
        label_weight=(0.25, 0.5, 0.25),
        slow_day=1e-9,
    )
    there, mirrored = analyse(tests, even), analyse(replace(tests, y=-tests.y), even)
    assert mirrored.p[:, ::-1] == pytest.approx(there.p, abs=1e-6)


@pytest.mark.parametrize("style", [SLOW, JOINT], ids=["alone", "joint"])
def test_a_swimmer_is_a_batch_of_one(style: Style) -> None:
    tests = _swimmers(9, style)
    together = _numbers(analyse(tests, BUILT_IN))
    single = np.vstack([_numbers(analyse(tests.take([i]), BUILT_IN)) for i in range(9)])
    assert single == pytest.approx(together, abs=1e-9)


def test_order_of_swimmers_does_not_matter() -> None:
    tests = _swimmers()
    turned = np.arange(len(tests))[::-1]
    assert _numbers(analyse(tests.take(turned), BUILT_IN)) == pytest.approx(
        _numbers(analyse(tests, BUILT_IN))[turned], abs=1e-9
    )


def test_a_new_test_gives_the_same_as_the_whole_batch_again() -> None:
    tests = _swimmers()
    earlier = tests.until(tests.count - 1)
    grown = analyse(tests, BUILT_IN)
    assert (analyse(earlier, BUILT_IN).p != grown.p).any()
    again = analyse(tests.until(tests.count), BUILT_IN)
    assert _numbers(again) == pytest.approx(_numbers(grown), abs=1e-9)


def _hinge(after: float, noise: float = 0.0, tests: int = 80) -> tuple[Floats, Floats, float]:
    t = np.arange(tests) * WEEK
    knot = t[tests // 2]
    y = np.where(t < knot, 0.8 * t, 0.8 * knot + after * (t - knot))
    errors = noise * np.random.default_rng(8).normal(0, 1, tests)
    level: Floats = y + errors
    return t.astype(np.float64), level, float(knot)


def test_noiseless_hinge_is_found_exactly() -> None:
    t, y, knot = _hinge(0.0)
    # the filter for correlated weeks is an approximation that needs noise: without any it is left out
    quiet = replace(BUILT_IN, noise=0.05, noise_df=200.0, correlated=(0.0,), correlated_weight=(1.0,))
    every_test = Effort(coarse=80, knots=80)
    answer = analyse(observations_from_lists([t], [y]), quiet, effort=every_test)
    assert answer.p_flat[0] > 0.95  # the last test may be the first of something else
    assert answer.onset[0, 1, 1] == pytest.approx(knot, abs=2 * WEEK)
    assert answer.rate[0, 1] == pytest.approx(0.0, abs=0.01)
    assert answer.p_slowed[0] > 0.95


def test_constant_series_is_flat_since_before_the_record() -> None:
    t = np.arange(60) * WEEK
    answer = analyse(observations_from_lists([t], [np.full(60, 3.3)]), BUILT_IN)
    # it may have begun to move with the last test: that much doubt is always left
    assert answer.p_flat[0] > 0.8
    assert answer.before_record[0, 1] > 0.3


def test_a_typing_error_hardly_moves_the_verdict() -> None:
    t, y, _ = _hinge(0.0, noise=1.0)
    wrong = y.copy()
    wrong[70] += 60.0
    right = analyse(observations_from_lists([t], [y]), BUILT_IN)
    answer = analyse(observations_from_lists([t], [wrong]), BUILT_IN)
    assert answer.set_aside[0].nonzero()[0].tolist() == [70]
    assert answer.p_flat[0] == pytest.approx(right.p_flat[0], abs=0.05)


def test_the_same_test_twice_weighs_less_than_two_days() -> None:
    t, y, _ = _hinge(0.0, noise=1.0)
    twice = analyse(observations_from_lists([np.repeat(t, 2)], [np.repeat(y, 2)]), BUILT_IN)
    once = analyse(observations_from_lists([t], [y]), BUILT_IN)
    width = np.diff(twice.rate[0, [0, 2]]) / np.diff(once.rate[0, [0, 2]])
    assert 0.7 < width < 1.05


HARD: dict[str, tuple[list[float], list[float]]] = {
    "one test": ([0.0], [1.0]),
    "two tests": ([0.0, 0.3], [1.0, 1.2]),
    "one day": ([0.0] * 9, list(np.linspace(-1, 1, 9))),
    "all equal": (list(np.arange(30) * WEEK), [2.0] * 30),
    "one a year": (list(np.arange(6) * 12.0), [0.0, 3.0, 5.0, 6.0, 6.5, 6.6]),
    "a thousand": (list(np.arange(1000) * WEEK), list(np.sin(np.arange(1000) / 90.0) * 3)),
    "a year's gap": (
        [*(np.arange(20) * WEEK), *(18 + np.arange(20) * WEEK)],
        list(np.arange(40) % 3 * 1.0),
    ),
    "same test twice": ([0.0, 0.0, 0.5, 1.0, 1.0, 1.5], [1.0, 1.0, 1.1, 1.0, 1.0, 0.9]),
    "huge jump": (list(np.arange(30) * WEEK), [0.0] * 15 + [90.0] * 15),
}


@pytest.mark.parametrize("name", HARD)
def test_hard_series_get_finite_answers_without_warnings(name: str) -> None:
    t, y = HARD[name]
    tests = observations_from_lists([t], [y])
    answer = analyse(tests, BUILT_IN, past=True)
    assert answer.line is not None
    assert np.isfinite(answer.line.level).all()
    assert until_verdict(tests, answer, np.full((1, 3), 0.75)).tests[0] >= -1
    values = [opinion.value for opinion in second_opinion(tests, answer)]
    assert all(value is None or np.isfinite(value) for value in values)
    for value in (answer.p, answer.rate, answer.onset, answer.before_record, answer.noise, answer.z):
        assert np.isfinite(value).all()
    assert answer.p.sum() == pytest.approx(1)
    assert ((answer.onset >= t[0]) & (answer.onset <= t[-1])).all()


def test_hard_series_do_not_disturb_their_neighbours() -> None:
    lists = [HARD[name] for name in HARD]
    together = analyse(observations_from_lists([t for t, _ in lists], [y for _, y in lists]), BUILT_IN)
    for i, (t, y) in enumerate(lists):
        alone = analyse(observations_from_lists([t], [y]), BUILT_IN)
        assert together.p[i] == pytest.approx(alone.p[0], abs=1e-9)


def test_a_roster_of_hard_series_teaches_something_finite() -> None:
    lists = [HARD[name] for name in HARD] * 4
    found = learn(observations_from_lists([t for t, _ in lists], [y for _, y in lists]), BUILT_IN, rounds=2)
    assert np.isfinite([*found.slope_mean, *found.slope_sd, *found.hazard, found.noise, found.noise_df]).all()
    assert sum(found.label_weight) == pytest.approx(1)


def _auc(positive: Floats, negative: Floats) -> float:
    return float(
        np.mean(positive[:, None] > negative[None, :]) + 0.5 * np.mean(positive[:, None] == negative)
    )


def _last_twelve_weeks(tests: Observations) -> Floats:
    out = np.zeros(len(tests))
    for i in range(len(tests)):
        t, y = tests.t[i, : tests.count[i]], tests.y[i, : tests.count[i]]
        late = t >= t[-1] - 84 / 30.4375
        out[i] = -abs(np.polyfit(t[late], y[late], 1)[0]) if np.unique(t[late]).size > 2 else -9.0
    return out


def test_flat_now_is_found_better_than_by_a_twelve_week_regression() -> None:
    swimmers = seasons(np.random.default_rng(11), 250, SLOW)
    tests = batch(swimmers, SLOW)
    answer, rule = analyse(tests, BUILT_IN), _last_twelve_weeks(tests)
    weeks = np.array([(s.t[-1] - s.onset) / WEEK for s in swimmers])
    rate = np.array([s.now for s in swimmers])
    flat, moving = (np.abs(rate) < 0.2) & (weeks >= 8), rate > 0.3
    ours = _auc(answer.p_flat[flat], answer.p_flat[moving])
    assert ours > 0.88
    assert ours > _auc(rule[flat], rule[moving]) + 0.05
