"""The long table keeps its promises whatever order it came in."""

import datetime as dt

import numpy as np
from hypothesis import given
from hypothesis import strategies as st

from tracker.engine.series.rows import day_date, day_dates, day_number, sorted_rows


def texts(size: int) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    blank = np.array([""] * size, object)
    return blank, blank, blank


@given(st.lists(st.tuples(st.sampled_from("abc"), st.integers(0, 30)), min_size=1), st.randoms())
def test_rows_come_sorted_by_swimmer_then_date_from_any_order(cells, random) -> None:
    random.shuffle(cells)
    names = np.array([name for name, _ in cells], object)
    days = np.array([day for _, day in cells], np.int64)
    size = len(cells)
    rows = sorted_rows(names, days, np.arange(1.0, size + 1), np.ones(size), texts(size))
    pairs = list(zip(rows.swimmer.tolist(), rows.day.tolist(), strict=True))
    assert pairs == sorted(pairs)
    assert rows.names == tuple(sorted(set(names)))
    assert sorted(rows.pace) == list(np.arange(1.0, size + 1))
    bounds = rows.bounds()
    for s, name in enumerate(rows.names):
        assert bounds[s + 1] - bounds[s] == sum(1 for other, _ in cells if other == name)


def test_a_swimmer_without_rows_left_leaves_the_names() -> None:
    rows = sorted_rows(
        np.array(["b", "a"], object), np.array([1, 2]), np.array([90.0, 91.0]), np.ones(2), texts(2)
    )
    kept = rows.keep(np.array([False, True]))
    assert kept.names == ("b",)
    assert kept.swimmer.tolist() == [0]


@given(st.dates())
def test_a_day_number_reads_back_as_its_date(day: dt.date) -> None:
    assert day_date(day_number(day)) == day


def test_a_day_beyond_the_calendar_stays_inside_it() -> None:
    assert day_date(-1e9) == dt.date.min
    assert day_date(1e9) == dt.date.max


@given(st.lists(st.floats(-1e9, 1e9) | st.integers(-(10**6), 10**6).map(lambda day: day + 0.5)))
def test_many_dates_are_those_of_one_by_one(numbers: list[float]) -> None:
    assert day_dates(np.array(numbers, float)) == [day_date(number) for number in numbers]
