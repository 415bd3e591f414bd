"""How many more tests, and where the level goes."""

from functools import cache

import numpy as np
import pytest

from tests.simulate.seasons import SLOW, batch, seasons
from tracker.engine.trend import forecast as outlook
from tracker.engine.trend.analyse import analyse
from tracker.engine.trend.forecast import chance_of, forecast
from tracker.engine.trend.observations import Floats, Observations, observations_from_lists
from tracker.engine.trend.posterior import Answer
from tracker.engine.trend.priors import BUILT_IN

WEEK = 7 / 30.4375
LEVEL = 0.75


def enter(series: int, level: float = LEVEL) -> Floats:
    """Return what it takes to say each class, the same for all."""
    return np.full((series, 3), level)


@cache
def _roster() -> tuple[Observations, Answer]:
    tests = batch(seasons(np.random.default_rng(21), 60, SLOW), SLOW)
    early = tests.until(np.minimum(tests.count, 14))
    return early, analyse(early, BUILT_IN)


def test_more_frequent_tests_tell_no_later() -> None:
    tests, answer = _roster()
    months = np.stack(
        [np.nan_to_num(o.months, nan=99.0) for _, o in outlook.soonest(tests, answer, enter(60))]
    )
    assert (np.diff(months, axis=0) >= -0.75).all()  # what tests will say is looked at in 15 points only
    assert np.median(months[-1]) > np.median(months[0])


def test_nothing_is_needed_where_a_verdict_stands_firmly() -> None:
    t = np.arange(90) * WEEK
    tests = observations_from_lists([t], [0.9 * t + np.random.default_rng(0).normal(0, 0.8, 90)])
    found = outlook.until_verdict(tests, analyse(tests, BUILT_IN), enter(1))
    assert found.tests[0] == 0


def test_a_harder_question_takes_longer() -> None:
    tests, answer = _roster()
    easy, hard = (
        outlook.until_verdict(tests, answer, enter(60, 0.65)),
        outlook.until_verdict(tests, answer, enter(60, 0.8)),
    )
    both = (easy.tests >= 0) & (hard.tests >= 0)
    assert both.any()
    assert (easy.tests[both] <= hard.tests[both]).all()


def test_rhythm_is_the_usual_gap_between_test_days() -> None:
    tests = observations_from_lists(
        [np.arange(12) * 2 * WEEK, np.repeat(np.arange(6), 2) * WEEK, [0.0]],
        [np.zeros(12), np.zeros(12), [0.0]],
    )
    assert outlook.rhythm(tests) == pytest.approx([2 * WEEK, WEEK, WEEK])


def test_forecast_widens_and_starts_at_the_line() -> None:
    _, answer = _roster()
    found = forecast(answer, np.array([0.0, 1.0, 3.0, 6.0]), of_a_test=False)
    assert found.level[:, 0] == pytest.approx(answer.today[:, 0], abs=1e-6)
    width = found.high - found.low
    assert (np.diff(width, axis=1) > 0).all()
    assert (forecast(answer, np.array([1.0])).high[:, 0] > found.high[:, 1]).all()


def test_chance_of_a_target_agrees_with_the_interval_and_falls_with_the_target() -> None:
    _, answer = _roster()
    high = forecast(answer, np.array([2.0])).high[:, 0]
    assert chance_of(answer, high, 2.0) == pytest.approx(0.05, abs=1e-3)
    assert (chance_of(answer, high + 1.0, 2.0) < chance_of(answer, high, 2.0)).all()
    assert (chance_of(answer, high, np.full(len(answer), 4.0)) >= 0).all()


def test_a_verdict_comes_when_it_is_said_to_come() -> None:
    """Of swimmers who go on as they are, about half have had a verdict by the number of tests said.

    The error of a share of 150 is 0.04.
    """
    rng = np.random.default_rng(12)
    number, most, seen = 150, 48, 8
    moving = rng.normal(0.6, 0.3, number)
    rate = np.where(
        rng.random(number) < 0.5, np.where(np.abs(moving) < 0.3, 0.3, moving), rng.normal(0, 0.05, number)
    )
    t = np.tile(np.arange(most) * WEEK, (number, 1))
    y = rate[:, None] * t + rng.normal(0, 1.4, t.shape)
    whole = observations_from_lists(list(t), list(y))
    first, waiting = np.full(number, most), np.arange(number)
    for count in range(11, most):
        cut = whole.take(waiting).until(np.full(waiting.size, count))
        spoken = analyse(cut, BUILT_IN).p.max(axis=1) >= LEVEL
        first[waiting[spoken]] = count
        waiting = waiting[~spoken]
    early = whole.until(np.full(number, seen))
    least = (8, 10 * WEEK)
    said = outlook.until_verdict(
        early, analyse(early, BUILT_IN), enter(number), chance=0.5, least=least
    ).tests
    assert (said >= 3).all()
    assert 0.38 < np.mean(first - seen <= said) < 0.75
    assert np.mean(first - seen <= said / 2) < 0.35


def test_no_verdict_is_promised_of_a_record_that_is_too_short_for_one() -> None:
    t = np.arange(6) * WEEK
    plain = observations_from_lists([t, np.repeat(t, 2)], [9.0 * t, 9.0 * np.repeat(t, 2)])
    answer = analyse(plain, BUILT_IN)
    assert (answer.p[:, 0] > 0.7).all()
    for least, lacking in (((0, 0.0), 0), ((8, 0.0), 2), ((8, 10 * WEEK), 5), ((6, 6 * WEEK), 1)):
        found = outlook.until_verdict(plain, answer, enter(2, 0.6), gap=WEEK, least=least)
        assert found.tests.tolist() == [lacking, lacking]
        assert found.months == pytest.approx(lacking * WEEK)
