"""Stroke arithmetic against a worked length (by hand) and published field values."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tracker.errors import UsageError
from tracker.model.stroke import stroke_of_length


def test_a_worked_length() -> None:
    """25 m, hand in at 5.0 m after 2.5 s, 18 strokes, 26.0 s; the values follow by hand."""
    stroke = stroke_of_length(25, 18, 26.0, 5.0, 2.5)
    assert stroke.per_stroke_m == pytest.approx(1.1111, abs=5e-5)
    assert stroke.per_cycle_m == pytest.approx(2.2222, abs=5e-5)
    assert stroke.speed == pytest.approx(0.85106, abs=5e-6)
    assert stroke.rate_cpm == pytest.approx(22.979, abs=5e-4)
    assert stroke.score == 44
    assert stroke.index == pytest.approx(0.85106 * 2.2222, abs=1e-4)
    assert not stroke.estimated


@pytest.mark.parametrize(("rate", "per_cycle", "speed"), [(33.1, 2.41, 1.30), (35.6, 2.04, 1.17)])
def test_published_rates_and_lengths_come_back_with_their_speed(
    rate: float, per_cycle: float, speed: float
) -> None:
    """Rev Bras Med Esporte 2007, two groups at CSS; rate times length leaves 2 to 3 % to the whole swim."""
    swimming_s = 20.0 / (rate / 60 * per_cycle)
    stroke = stroke_of_length(25, 2 * 20.0 / per_cycle, swimming_s + 2.5, 5.0, 2.5)
    assert stroke.rate_cpm == pytest.approx(rate, rel=1e-9)
    assert stroke.per_cycle_m == pytest.approx(per_cycle, rel=1e-9)
    assert stroke.speed == pytest.approx(speed, rel=0.035)


@given(
    st.sampled_from([22.86, 25.0, 33.3, 50.0]),
    st.integers(8, 70),
    st.floats(15, 120),
    st.floats(0, 10),
    st.floats(0, 6),
)
def test_speed_is_rate_times_length(
    length: float, count: int, time: float, off_m: float, off_s: float
) -> None:
    stroke = stroke_of_length(length, count, time, off_m, off_s)
    assert stroke.speed == pytest.approx(stroke.rate_cpm / 60 * stroke.per_cycle_m, rel=1e-9)


def test_an_assumed_push_off_is_marked() -> None:
    assert stroke_of_length(25, 18, 26.0).estimated
    assert stroke_of_length(25, 18, 26.0, 5.0).estimated
    assert stroke_of_length(25, 18, 26.0) == stroke_of_length(25, 18, 26.0, 5.0)


def test_without_the_push_off_long_and_short_pools_compare() -> None:
    """The same stroke in 25 and 50 m: counts per length differ by more than two, stroke length does not."""
    short = stroke_of_length(25, 18, 26.0, 5.0, 2.5)
    long = stroke_of_length(50, 18 * 45 / 20, 2.5 + 45 / short.speed, 5.0, 2.5)
    assert long.per_cycle_m == pytest.approx(short.per_cycle_m)
    assert abs(50 / (18 * 45 / 20) - 25 / 18) > 0.1


@pytest.mark.parametrize(
    "args",
    [(0, 18, 26), (25, 0, 26), (25, 18, 0), (25, 18, 26, 25, 2), (25, 18, 26, 5, 26), (25, 18, 26, -1, 1)],
)
def test_impossible_lengths_are_refused(args: tuple[float, ...]) -> None:
    with pytest.raises(UsageError):
        stroke_of_length(*args)
