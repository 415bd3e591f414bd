"""Ticks: m:ss in steps a swimmer counts in, months in steps a calendar has."""

from __future__ import annotations

import datetime as dt
import re
from itertools import pairwise

from hypothesis import example, given
from hypothesis import strategies as st

from tracker.output.figures.scales import STEPS, month_ticks, pace_label, pace_range, pace_ticks

DATES = st.dates(dt.date(2000, 1, 1), dt.date(2040, 1, 1))


@given(st.lists(st.floats(40, 360), min_size=1, max_size=30))
def test_an_axis_holds_its_paces_with_room_and_few_ticks(paces: list[float]) -> None:
    low, high = pace_range(paces)
    assert low < min(paces) <= max(paces) < high
    assert high - low >= 4 - 1e-9
    ticks = pace_ticks(low, high)
    assert 2 <= len(ticks) <= 9
    assert all(low <= tick <= high for tick in ticks)
    assert min(b - a for a, b in pairwise(ticks)) in STEPS


EIGHTHS = st.integers(8 * 40, 8 * 360).map(lambda eighths: eighths / 8)
"""Paces that add and subtract without rounding, so that a span of ten seconds is one of ten."""


@given(EIGHTHS, st.integers(8 * 4, 8 * 100).map(lambda eighths: eighths / 8))
@example(95.0, 10.0)
@example(95.0, 9.875)
def test_a_label_is_minutes_and_seconds_never_decimal_minutes(low: float, span: float) -> None:
    label = pace_label(low, low, low + span)
    assert re.fullmatch(r"\d:\d\d(\.\d)?", label)
    assert ("." in label) == (span < 10)


@given(DATES, st.integers(14, 9000))
def test_months_are_few_in_order_and_inside(first: dt.date, days: int) -> None:
    last = first + dt.timedelta(days=days)
    ticks = month_ticks(first, last)
    dates = [date for date, _ in ticks]
    assert dates == sorted(set(dates))
    assert len(ticks) <= 13
    assert all(first <= date <= last and date.day == 1 for date in dates)


def test_the_year_stands_under_the_first_label_and_every_january() -> None:
    labels = [label for _, label in month_ticks(dt.date(2025, 5, 2), dt.date(2026, 6, 30))]
    assert labels[0] == "Jul\n2025"
    assert "Jan\n2026" in labels
    assert "Mar" in labels
