"""The study's own arithmetic, against counting by hand."""

from __future__ import annotations

import math

import numpy as np
import pytest
from scipy.stats import norm

from tests.simulate.scoring import auc
from tests.simulate.stationary import class_of
from tests.validation.against_others import matched
from tests.validation.detection import delay, median_delay
from tests.validation.door import Looks
from tests.validation.reliability import bins
from tests.validation.tally import Rate, median_error, plus_minus, resampled, share


def test_a_share_and_its_error_are_those_of_counting() -> None:
    found = share([True, False, True, True])
    assert (found.hits, found.of, found.value) == (3, 4, 0.75)
    assert found.error == pytest.approx(math.sqrt(0.7 * 0.3 / 4))
    assert share([]).hits == 0
    assert math.isnan(share([]).value)


def test_none_and_all_have_an_error_too() -> None:
    assert share([False] * 10).error > 0
    assert share([True] * 10).error == pytest.approx(share([False] * 10).error)
    assert Rate(0, 5.0).error == pytest.approx(0.2)
    assert Rate(9, 3.0).error == pytest.approx(1.0)


def test_the_error_of_a_share_is_the_spread_of_repeated_shares() -> None:
    rng = np.random.default_rng(1)
    shares = rng.binomial(200, 0.3, 4000) / 200
    assert share(np.arange(200) < 60).error == pytest.approx(shares.std(), rel=0.05)


def test_a_bootstrap_error_of_a_mean_is_its_standard_error() -> None:
    values = np.random.default_rng(2).normal(size=400)
    found = resampled(np.random.default_rng(3), 400, lambda rows: values[rows].mean(), draws=400)
    assert found == pytest.approx(values.std() / 20, rel=0.15)


def test_a_medians_error_is_the_spread_of_repeated_medians() -> None:
    rng = np.random.default_rng(4)
    medians = [np.median(rng.normal(size=101)) for _ in range(500)]
    assert np.mean([median_error(rng.normal(size=101)) for _ in range(500)]) == pytest.approx(
        np.std(medians), rel=0.2
    )


def test_nothing_counted_is_a_dash() -> None:
    assert plus_minus(float("nan"), 1.0) == "–"
    assert plus_minus(0.5, 0.25, 2) == "0.50 ± 0.25"


def test_the_area_is_the_share_of_pairs_in_order() -> None:
    rng = np.random.default_rng(5)
    a, b = rng.integers(0, 6, 30).astype(float), rng.integers(0, 6, 20).astype(float)
    pairs = [(x > y) + 0.5 * (x == y) for x in a for y in b]
    assert auc(a, b) == pytest.approx(np.mean(pairs))


def test_matched_false_alarms_leave_one_moving_in_twenty_above_the_cut() -> None:
    moving = np.arange(1, 101) / 100
    flat = np.array([0.5, 0.94, 0.96, 0.99])
    assert matched(flat, moving) == 0.5
    assert math.isnan(matched(flat[:0], moving))


def test_bins_hold_every_probability_once() -> None:
    p = np.array([0.0, 0.05, 0.5, 0.95, 1.0])
    hit = np.array([False, True, True, True, False])
    found = {name: (mean, hits.hits, hits.of) for name, mean, hits in bins(p, hit)}
    assert found["0-0.05"] == (0.0, 0, 1)
    assert found["0.05-0.2"] == (0.05, 1, 1)
    assert found["0.4-0.6"] == (0.5, 1, 1)
    assert found["0.95-1"] == (0.975, 1, 2)
    assert sum(of for _, _, of in found.values()) == 5


def test_the_true_class_is_by_the_band() -> None:
    assert class_of(np.array([0.3, 0.25, 0.0, -0.25, -0.3]), 0.25).tolist() == [0, 1, 1, 1, 2]


def _looks() -> Looks:
    p = np.array([[0.9, 0.1, 0], [0.1, 0.85, 0.05], [0.1, 0.95, 0.05], [0.5, 0.3, 0.2], [0.5, 0.1, 0.4]])
    return Looks(
        np.array([0, 0, 0, 1, 1]),
        np.array([3.0, 4.0, 5.0, 3.0, 4.0]),
        np.array([12, 16, 20, 12, 16]),
        p,
        np.array([0.0, 0.9, 0.9, 0.5, 0.85]),
        np.zeros((5, 3)),
        np.array([0, 1, 1, -1, 3]),
        np.full((5, 4), 0.8),
        np.full((5, 4), 0.5),
    )


def test_the_first_word_is_that_of_the_earliest_look_that_says_it() -> None:
    seen = _looks()
    np.testing.assert_array_equal(seen.first(1, 2), [4.0, np.nan])
    np.testing.assert_array_equal(seen.first(0, 2), [3.0, np.nan])
    np.testing.assert_array_equal(seen.first(1, 2, after=4.5), [5.0, np.nan])
    np.testing.assert_array_equal(seen.first_not_gaining(2), [4.0, 4.0])


def test_a_delay_counts_from_the_change_and_may_never_end() -> None:
    late = delay(np.array([14.0, np.nan, 13.0]))
    np.testing.assert_array_equal(late, [2.0, np.inf, 1.0])
    assert median_delay(np.array([1.0, np.inf, np.inf]), 12) == "> 12"
    assert median_delay(np.array([1.0, 2.0, 3.0]), 12).startswith("2.0")


def test_the_normal_law_is_the_one_meant() -> None:
    from tests.validation.other_ways import classes

    above, inside, below = classes(0.1, 0.2)
    assert inside == pytest.approx(norm.cdf(0.75) - norm.cdf(-1.75))
    assert (above, below) == pytest.approx((norm.sf(0.75), norm.cdf(-1.75)))
    assert classes(float("nan"), 1.0) == (0.25, 0.5, 0.25)
    assert classes(0.0, 1e-12, 5)[1] == pytest.approx(1.0)
