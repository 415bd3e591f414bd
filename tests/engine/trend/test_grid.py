"""The knots: dense at the end, growing sparse with their age, and growing with the record."""

import numpy as np
import pytest

from tracker.engine.trend.grid import (
    GROWTH,
    LONGEST_GAP,
    SHORTEST_GAP,
    Days,
    Grid,
    days_of,
    knots,
    knots_of_the_past,
)
from tracker.engine.trend.observations import observations_from_lists

WEEK = 7 / 30.4375


def days(*counts: int, gap: float = WEEK) -> Days:
    return days_of(
        observations_from_lists([np.arange(n) * gap for n in counts], [np.zeros(n) for n in counts])
    )


def times(grid: Grid, series: int = 0) -> np.ndarray:
    return grid.time[:-1, series][grid.valid[:, series]]


@pytest.mark.parametrize("count", [1, 2, 9, 24])
def test_a_short_record_has_a_knot_at_every_test(count: int) -> None:
    assert times(knots(days(count), 24)) == pytest.approx(np.arange(count) * WEEK)


@pytest.mark.parametrize("count", [60, 100, 260, 1040])
def test_knots_run_from_the_first_test_to_the_last_and_grow_sparse(count: int) -> None:
    found = times(knots(days(count), 24))
    last = (count - 1) * WEEK
    assert (found[0], found[-1]) == (0.0, pytest.approx(last))
    age = last - found
    gaps = np.diff(found)
    assert (gaps > 0).all()
    assert gaps[-1] == pytest.approx(WEEK)
    assert gaps.max() <= LONGEST_GAP + WEEK
    assert (gaps[1:] <= np.maximum(SHORTEST_GAP, 3 * GROWTH * age[2:]) + 2 * WEEK).all()
    assert found.size <= 24 + max(0.0, last - 30) / LONGEST_GAP + 1


def test_the_end_of_a_long_record_is_as_dense_as_that_of_a_short_one() -> None:
    short, long = (((n - 1) * WEEK - times(knots(days(n), 24)) < 6).sum() for n in (100, 1040))
    assert long >= short - 2


@pytest.mark.parametrize("count", [26, 61, 99, 140, 400, 1040])
def test_a_further_test_leaves_the_knots_where_they_were(count: int) -> None:
    before, after = (times(knots(days(n), 24)) for n in (count, count + 1))
    apart = np.abs(after[:, None] - before[None, :]).min(axis=1)
    assert apart[:-1] == pytest.approx(0.0, abs=1e-9)  # each but the new test's own was one before


def test_a_series_has_the_same_knots_in_any_company() -> None:
    together = knots(days(12, 100, 1040), 24)
    for series, count in enumerate((12, 100, 1040)):
        assert times(together, series) == pytest.approx(times(knots(days(count), 24)))
        assert together.last[series] == together.valid[:, series].sum() - 1


def test_padding_stands_at_the_end_and_takes_no_time() -> None:
    grid = knots(days(3, 200), 24)
    assert (np.diff(grid.valid.astype(int), axis=0) <= 0).all()
    assert grid.time[grid.last[0] :, 0] == pytest.approx(2 * WEEK)


def test_twenty_thousand_tests_have_knots_that_can_be_computed() -> None:
    assert times(knots(days(20_000, gap=0.05), 24)).size < 160


def test_the_past_is_even_with_a_dense_end() -> None:
    found = times(knots_of_the_past(days(400), 80))
    assert np.diff(found)[-4:] == pytest.approx(WEEK)
    assert np.diff(found)[:60] == pytest.approx(5 * WEEK)
