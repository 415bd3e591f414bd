"""Age as yardstick: the published formula, the laws of the comparison, years of birth that are wrong."""

from __future__ import annotations

import datetime as dt
import math
from dataclasses import replace
from typing import Literal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tracker.engine.verdict.age import (
    Z90,
    AgeAlone,
    AgeComparison,
    age_alone,
    age_on,
    age_yardstick,
    chance_above,
    hour_metres,
    yearly_loss,
)

DAY = dt.date(2026, 6, 28)


@pytest.mark.parametrize(
    ("age", "metres", "men", "women"),
    [
        (40, 3681.2, 0.57, 0.64),
        (50, 3442.0, 0.78, 0.88),
        (60, 3144.8, 1.04, 1.18),
        (70, 2789.6, 1.38, 1.59),
        (80, 2376.4, 1.86, 2.21),
    ],
)
def test_the_loss_is_that_of_the_one_hour_swim(age: int, metres: float, men: float, women: float) -> None:
    """Bongard et al. 2007, Age 29:77: metres = 4058 + 2.18 a - 0.29 a^2 for men, women 380 less."""
    assert hour_metres(age, "m") == pytest.approx(metres, abs=0.05)
    assert hour_metres(age, "f") == pytest.approx(metres - 380, abs=0.05)
    assert yearly_loss(age, "m") == pytest.approx(men, abs=0.005)
    assert yearly_loss(age, "f") == pytest.approx(women, abs=0.005)


@given(st.floats(41, 99), st.sampled_from(["f", "m"]))
def test_the_loss_is_the_slope_of_the_metres(age: float, sex: Literal["f", "m"]) -> None:
    """Against a difference quotient, so that formula and derivative cannot drift apart."""
    quotient = -100 * (math.log(hour_metres(age + 1e-4, sex)) - math.log(hour_metres(age - 1e-4, sex))) / 2e-4
    assert yearly_loss(age, sex) == pytest.approx(quotient, rel=1e-4)


@pytest.mark.parametrize(
    ("age", "girls", "boys"),
    [
        (8.0, 5.0, 5.0),
        (12.9, 5.0, 5.0),
        (13.0, 2.0, 3.5),
        (15.9, 2.0, 3.5),
        (16.0, 1.0, 2.0),
        (17.9, 1.0, 2.0),
    ],
)
def test_growth_by_age_and_sex(age: float, girls: float, boys: float) -> None:
    found = [age_alone(age, sex) for sex in ("f", "m", "")]
    means = [alone.mean for alone in found if alone is not None]
    assert means == [girls, boys, (girls + boys) / 2]


@pytest.mark.parametrize("later_elite", [2.6, 3.5])
def test_what_later_elite_swimmers_gained_from_12_to_18_is_within_what_age_may_give(
    later_elite: float,
) -> None:
    """Costa 2011: 242 later elite swimmers gained 14.36 to 18.97 % from 12 to 18, 2.6 to 3.5 % a year."""
    rate = later_elite / 12
    for born in (2014, 2012, 2011):
        found = age_yardstick((rate - 0.05, rate, rate + 0.05), born, "m", DAY)
        assert found is not None
        assert found.comparison is AgeComparison.WITHIN


def test_a_season_as_12_year_olds_had_it_is_more_than_growth_alone() -> None:
    """Ferreira 2021, IJERPH 18:1010: 400 m, -14.6 % in 45 weeks at 12.1 years; 1.5 % a month."""
    month = -100 * math.log(1 - 0.146) / (45 * 7 / 30.4375)
    assert month == pytest.approx(1.52, abs=0.02)
    found = age_yardstick((month - 0.2, month, month + 0.2), 2014, "", DAY)
    assert found is not None
    assert found.comparison is AgeComparison.BETTER


def test_no_spread_and_the_same_rate_is_one_half() -> None:
    alone = AgeAlone(((3.0, 0.0),))
    assert chance_above(alone, 3.0, 3.0, 3.0) == pytest.approx(0.5)
    assert chance_above(alone, 3.1, 3.1, 3.1) == pytest.approx(1.0)
    assert chance_above(alone, 2.9, 2.9, 2.9) == pytest.approx(0.0)


@given(st.sampled_from([9.0, 14.0, 17.0, 45.0, 85.0]), st.sampled_from(["f", "m"]), st.floats(0, 6))
def test_the_same_rate_is_one_half_whatever_the_spreads(
    age: float, sex: Literal["f", "m"], width: float
) -> None:
    alone = age_alone(age, sex)
    assert alone is not None
    assert chance_above(alone, alone.mean - width, alone.mean, alone.mean + width) == pytest.approx(0.5)


@given(st.floats(-6, 6), st.floats(0.1, 5), st.floats(0.1, 5))
def test_an_even_spread_gives_the_chance_of_a_difference_of_normals(
    rate: float, width: float, sd: float
) -> None:
    """P(X > A) of two independent normals has a closed form."""
    alone = AgeAlone(((1.0, sd),))
    exact = 0.5 * math.erfc((1.0 - rate) / math.hypot(width / Z90, sd) / math.sqrt(2))
    assert chance_above(alone, rate - width, rate, rate + width) == pytest.approx(exact, abs=2e-3)


@given(st.integers(1927, 2018), st.sampled_from(["", "f", "m"]), st.floats(-1, 1), st.floats(0.01, 0.5))
def test_a_faster_swimmer_has_the_larger_probability(
    born: int, sex: Literal["", "f", "m"], rate: float, more: float
) -> None:
    slow = age_yardstick((rate - 0.2, rate, rate + 0.2), born, sex, DAY)
    fast = age_yardstick((rate + more - 0.2, rate + more, rate + more + 0.2), born, sex, DAY)
    assert (slow is None) == (fast is None)
    if slow is not None and fast is not None:
        assert 0 <= slow.p_better <= fast.p_better <= 1
        assert fast.p_beyond - slow.p_beyond == pytest.approx(
            (1 if slow.growing else -1) * (fast.p_better - slow.p_better), abs=1e-9
        )


@given(st.floats(8, 17.99) | st.floats(40.01, 100), st.floats(-6, 12))
def test_the_mixture_lies_between_girls_and_boys(age: float, rate: float) -> None:
    girls, boys, both = (age_alone(age, sex) for sex in ("f", "m", ""))
    assert girls is not None
    assert boys is not None
    assert both is not None
    for of in (
        lambda alone: alone.mean,
        lambda alone: alone.below(rate),
        lambda alone: alone.point(0.05),
        lambda alone: alone.point(0.95),
    ):
        low, high = sorted((of(girls), of(boys)))
        assert low - 1e-5 <= of(both) <= high + 1e-5


@pytest.mark.parametrize(("low", "rate", "high"), [(0.0, 4.0, 5.0), (3.0, 4.0, 9.0)])
def test_a_skewed_rate_has_a_twentieth_beyond_either_end(low: float, rate: float, high: float) -> None:
    assert chance_above(AgeAlone(((low, 0.02),)), low, rate, high) == pytest.approx(0.95, abs=0.01)
    assert chance_above(AgeAlone(((high, 0.02),)), low, rate, high) == pytest.approx(0.05, abs=0.01)


def test_nine_in_ten_lie_in_the_interval_of_age_alone() -> None:
    found = age_yardstick((0.1, 0.2, 0.3), 2012, "m", DAY)
    assert found is not None
    assert (found.alone, found.growing) == (3.5, True)
    assert found.alone_low == pytest.approx(3.5 - 2 * Z90, abs=1e-4)
    assert found.alone_high == pytest.approx(3.5 + 2 * Z90, abs=1e-4)


@pytest.mark.parametrize("years", [-974, -1, 0, 6, 7, 19, 30, 40, 101, 106, 2026])
def test_a_year_of_birth_that_gives_no_yardstick_gives_none_and_no_error(years: int) -> None:
    assert age_yardstick((0.1, 0.2, 0.3), DAY.year - years, "", DAY) is None


def test_without_a_year_of_birth_there_is_no_yardstick() -> None:
    assert age_yardstick((0.1, 0.2, 0.3), None, "f", DAY) is None


@pytest.mark.parametrize(
    ("age", "there"),
    [
        (7.99, False),
        (8, True),
        (17.99, True),
        (18, False),
        (40, False),
        (40.01, True),
        (100, True),
        (100.01, False),
    ],
)
def test_where_the_yardstick_begins_and_ends(age: float, there: bool) -> None:
    assert (age_alone(age, "") is not None) is there


def test_the_age_is_that_of_a_birthday_in_the_middle_of_the_year() -> None:
    assert age_on(dt.date(2026, 7, 2), 2012) == 14
    assert age_on(dt.date(2026, 1, 1), 2012) == pytest.approx(13.5, abs=0.01)
    assert age_on(dt.date(2028, 12, 31), 2012) == pytest.approx(16.5, abs=0.01)


def test_over_forty_the_question_is_whether_the_loss_is_larger() -> None:
    held = age_yardstick((-0.05, 0.0, 0.05), 1966, "", DAY)
    lost = age_yardstick((-0.35, -0.3, -0.25), 1966, "", DAY)
    assert held is not None
    assert lost is not None
    assert (held.growing, held.comparison) == (False, AgeComparison.BETTER)
    assert (lost.comparison, lost.p_beyond) == (AgeComparison.WORSE, 1 - lost.p_better)
    assert lost.p_beyond > 0.95
    assert held.p_beyond < 0.1
    assert replace(held, p_better=0.5).comparison is AgeComparison.WITHIN
