"""The hinge around a date: exact without noise, blind to the swimmer's own level and slope."""

from __future__ import annotations

import datetime as dt

import numpy as np
import pytest

from tracker.engine.trend.observations import Floats
from tracker.model.units import DAYS_PER_MONTH
from tracker.technique.matched_comparison import LAG_MONTHS, Levels, before, hinge

DATE = dt.date(2026, 1, 5)
DAYS = DATE.toordinal() + np.arange(-20, 18) * 7.0
T = (DAYS - DATE.toordinal()) / DAYS_PER_MONTH


def theta(y: Floats) -> float:
    found = hinge(Levels("Ines Aalto", DAYS, y), DATE)
    assert found is not None
    return float(found.h @ found.y / (found.h @ found.h))


def test_without_noise_the_change_of_slope_is_exact() -> None:
    assert theta(3.0 + 0.4 * T + 1.5 * np.maximum(T - LAG_MONTHS, 0)) == pytest.approx(1.5)
    assert theta(3.0 + 0.4 * T) == pytest.approx(0.0, abs=1e-12)


def test_own_level_and_slope_change_nothing() -> None:
    y = np.random.default_rng(1).normal(0, 1, T.size)
    assert theta(y + 50 - 2 * T) == pytest.approx(theta(y))


def test_the_hinge_is_the_least_squares_one() -> None:
    """Against a plain regression on (1, t, hinge) over the same four months before and after."""
    y = np.random.default_rng(2).normal(0, 1, T.size)
    used = (T >= -4) & (T <= 4)
    columns = np.column_stack([np.ones(used.sum()), T[used], np.maximum(T[used] - LAG_MONTHS, 0)])
    assert theta(y) == pytest.approx(np.linalg.lstsq(columns, y[used], rcond=None)[0][2])


def test_slopes_before_look_at_nothing_after() -> None:
    y = 0.3 * T + np.where(T >= 0, 99.0, 0.0)
    found = before(Levels("Ines Aalto", DAYS, y), DATE)
    assert found is not None
    assert [found.slope, found.recent] == pytest.approx([0.3, 0.3])


@pytest.mark.parametrize("keep", [T < 0, T >= 0, (T >= -1.2), (T < 0.9)])
def test_too_few_tests_on_a_side_give_no_hinge(keep: np.ndarray) -> None:
    assert hinge(Levels("Ines Aalto", DAYS[keep], T[keep]), DATE) is None


def test_the_lead_is_a_hinge_half_way_before_the_date() -> None:
    """Where pace bent two months before the date the lead says so, and a straight line has none."""
    bent = hinge(Levels("Ines Aalto", DAYS, 3.0 + 0.9 * np.maximum(T + 2.0, 0.0)), DATE)
    straight = hinge(Levels("Ines Aalto", DAYS, 3.0 + 0.9 * T), DATE)
    assert bent is not None
    assert straight is not None
    assert bent.lead_h @ bent.lead_h > 0
    assert bent.lead_h @ bent.lead_y / (bent.lead_h @ bent.lead_h) == pytest.approx(0.9)
    assert straight.lead_h @ straight.lead_y == pytest.approx(0.0, abs=1e-9)


def test_a_line_of_its_own_and_the_hinge_take_three_degrees_of_freedom() -> None:
    """What is left of the tests that the plain regression on (1, t, hinge) is fitted to."""
    y = np.random.default_rng(3).normal(0, 1, T.size)
    found = hinge(Levels("Ines Aalto", DAYS, y), DATE)
    assert found is not None
    used = (T >= -4) & (T <= 4)
    columns = np.column_stack([np.ones(used.sum()), T[used], np.maximum(T[used] - LAG_MONTHS, 0)])
    _, squares, rank, _ = np.linalg.lstsq(columns, y[used], rcond=None)
    assert found.freedom == used.sum() - rank
    assert found.squares == pytest.approx(squares[0])
