"""The chance of an onset between two dates from its median and its 90 % interval."""

from __future__ import annotations

import datetime as dt

import pytest

from tests.technique.build import a_stretch, day
from tracker.technique.link import chance_from_interval

LONG_AGO, FAR = dt.date(1900, 1, 1), dt.date(2100, 1, 1)


def test_the_three_quantiles_are_met() -> None:
    """5 % before the lower point, a half on each side of the median, 5 % after the upper (whole days)."""
    chance = chance_from_interval(a_stretch("03-01", low="01-05", high="06-01"))
    assert chance(LONG_AGO, day("01-05")) == pytest.approx(0.05, abs=0.003)
    assert chance(day("06-01"), FAR) == pytest.approx(0.05, abs=0.003)
    assert chance(LONG_AGO, day("03-01")) == pytest.approx(0.5, abs=0.01)
    assert chance(LONG_AGO, FAR) == pytest.approx(1.0)


def test_days_add_up() -> None:
    chance = chance_from_interval(a_stretch())
    days = [day("01-01") + dt.timedelta(days=n) for n in range(120)]
    assert sum(chance(d, d) for d in days) == pytest.approx(chance(days[0], days[-1]))


def test_an_onset_known_to_the_day_is_there_or_not() -> None:
    chance = chance_from_interval(a_stretch("03-01", low="03-01", high="03-01"))
    assert chance(day("03-01"), day("03-01")) == 1.0
    assert chance(day("03-02"), FAR) == 0.0


def test_an_onset_before_the_record_counts_only_from_the_first_test_on() -> None:
    chance = chance_from_interval(a_stretch("03-01", low=None, high="03-20"))
    assert chance(LONG_AGO, day("02-28")) == 0.0
    assert chance(LONG_AGO, FAR) == pytest.approx(0.5)
