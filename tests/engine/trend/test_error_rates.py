"""False plateaus on the roster's calendars, other priors, drift, reliability."""

import numpy as np
import pytest

from tests.simulate.seasons import SLOW, batch, seasons
from tracker.engine.trend.analyse import analyse
from tracker.engine.trend.error_rates import LEVELS, false_words
from tracker.engine.trend.observations import Observations, observations_from_lists
from tracker.engine.trend.priors import BUILT_IN
from tracker.engine.trend.reliability import from_pairs, limits
from tracker.engine.trend.sensitivity import drifts, other_priors, under_other_priors
from tracker.engine.verdict.false_plateaus import expected_false, roster_cut

WEEK = 7 / 30.4375


def _roster(size: int = 40) -> Observations:
    return batch(seasons(np.random.default_rng(2), size, SLOW), SLOW)


def test_false_words_fall_with_the_level_and_false_plateaus_with_the_gain() -> None:
    roster = _roster(12)
    slow = false_words(roster, BUILT_IN, np.random.default_rng(1), swimmers=24, every=0.7)
    fast = false_words(roster, BUILT_IN, np.random.default_rng(1), swimmers=24, every=0.7, gain=1.5)
    for rates in (slow.plain, slow.correlated, fast.plain):
        assert (np.diff(rates, axis=1) <= 0).all()
    assert (fast.plain[1] <= slow.plain[1]).all()
    assert slow.correlated.sum() > slow.plain.sum()
    loose, strict = slow.enter(0.2, 0.5), slow.enter(0.02, 0.06)
    assert all(a <= b for a, b in zip(loose, strict, strict=True))
    assert slow.enter(-1.0, 0.0) == (LEVELS[-1],) * 4


def test_the_judge_does_not_know_the_noise_that_is_simulated() -> None:
    """So a steady tester is called flat less often than an unsteady one, and may keep the lower level."""
    t = np.arange(50) * WEEK
    calendar = observations_from_lists([t], [np.zeros(50)])

    def rates(noise: float) -> float:
        rng = np.random.default_rng(5)
        found = false_words(calendar, BUILT_IN, rng, noise=noise, swimmers=30, every=0.7)
        return float(found.plain[1, LEVELS.index(0.60)])

    quiet, loud = rates(0.6), rates(2.4)
    assert quiet < loud / 2


def test_a_roster_without_long_series_has_no_rate() -> None:
    short = observations_from_lists([[0.0, 1.0]], [[0.0, 1.0]])
    assert false_words(short, BUILT_IN, np.random.default_rng(1)).swimmers == 0


def test_same_seed_same_rates() -> None:
    roster = _roster(10)
    first, again = (
        false_words(roster, BUILT_IN, np.random.default_rng(3), swimmers=5, every=1.0) for _ in range(2)
    )
    assert (first.plain == again.plain).all()
    assert (first.correlated == again.correlated).all()


def test_roster_cut_keeps_the_expected_share_of_false_ones() -> None:
    p = np.array([0.99, 0.97, 0.9, 0.7, 0.5, 0.2])
    assert roster_cut(p, 0.05) == pytest.approx(0.9)
    assert expected_false(p, 0.9) == pytest.approx(1 - np.mean([0.99, 0.97, 0.9]))
    assert roster_cut(np.array([0.3]), 0.05) == 1.0
    assert expected_false(np.array([0.3]), 0.8) == 0.0


def test_other_priors_bracket_and_clear_cases_do_not_hang_on_them() -> None:
    slower, faster = other_priors(BUILT_IN)
    assert slower.slope_mean[0] < BUILT_IN.slope_mean[0] < faster.slope_mean[0]
    assert sum(slower.label_weight) == pytest.approx(1)
    t = np.arange(90) * WEEK
    errors = np.random.default_rng(0).normal(0, 0.8, 90)
    tests = observations_from_lists([t, t], [0.8 * t + errors, errors])
    beliefs = under_other_priors(tests, BUILT_IN)
    for answer in (beliefs.slower, beliefs.faster):
        assert answer.p.argmax(axis=1).tolist() == [0, 1]
        assert answer.p.max(axis=1).min() > 0.7


@pytest.mark.parametrize("apart", [0.0, 0.5])
def test_drift_between_kinds_is_pointed_out(apart: float) -> None:
    rng = np.random.default_rng(9)
    t = np.repeat(np.arange(60) * WEEK, 2)
    kind = np.tile([0, 1], 60)
    y = 0.6 * t + kind * (5.0 + apart * t) + rng.normal(0, 0.8, 120)
    tests = observations_from_lists([t], [y], kind=[kind], design=[[0], [1]], features=("t200",))
    (found,) = drifts(tests, analyse(tests, BUILT_IN))
    assert found.apart == bool(apart)
    assert found.low <= apart <= found.high


def test_too_few_of_a_kind_tell_no_drift() -> None:
    t = np.arange(20) * WEEK
    kind = (np.arange(20) == 3).astype(int)
    tests = observations_from_lists([t], [t], kind=[kind], design=[[0], [1]], features=("t200",))
    assert drifts(tests, analyse(tests, BUILT_IN)) == ()


def test_typical_error_of_a_worked_example() -> None:
    # Five swimmers' two trials in seconds; log TE 0.68820 worked by hand with SD of differences / sqrt(2).
    found = from_pairs([360, 402, 388, 451, 420], [357, 405, 384, 447, 424])
    assert found is not None
    assert found.typical_error == pytest.approx(0.68820, abs=1e-5)
    assert found.low < found.typical_error < found.high
    assert from_pairs([1.0, 2.0], [1.0, 2.0]) is None


def test_minimal_detectable_change_of_a_typical_error() -> None:
    found = from_pairs([100.0, 100.0, 100.0], [100.0, 101.0, 99.0])
    assert found is not None
    assert found.detectable / found.typical_error == pytest.approx(2.7718, abs=1e-3)


def test_limits_of_a_standard_deviation() -> None:
    # Chi-square tables, 95 % limits: factors 0.688 and 1.826 with 9 df, 0.760 and 1.461 with 19.
    for freedom, low, high in ((9, 0.688, 1.826), (19, 0.760, 1.461)):
        found = limits(1.0, freedom, z=1.959964)
        assert found == pytest.approx((low, high), rel=0.01)
