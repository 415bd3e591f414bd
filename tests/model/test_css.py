"""Critical swim speed against worked values.

Sources: the linear model of Wakayoshi et al. 1992 (Int J Sports Med 13:367-371); the check values
follow from it by algebra (two trials) or least squares, computed outside this code and, for the
regressions, again by numpy below. The record times are freestyle world records as listed in
public record lists.
"""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from tracker.errors import TooFewError, UsageError
from tracker.model.css import Css, critical_rate, critical_speed, pace_error, pace_interval, set_paces

TABLE = [
    # T400, T200, CSS m/s, pace s/100 m, D' m
    (300, 143, 1.2739, 78.5, 17.8),
    (360, 171, 1.0582, 94.5, 19.0),
    (400, 190, 0.9524, 105.0, 19.05),
    (450, 213, 0.8439, 118.5, 20.3),
    (480, 227, 0.7905, 126.5, 20.6),
    (600, 285, 0.6349, 157.5, 19.0),
    (720, 342, 0.5291, 189.0, 19.0),
]


def _pair(t400: float, t200: float) -> Css:
    return critical_speed((400.0, 200.0), (t400, t200))


@pytest.mark.parametrize(("t400", "t200", "speed", "pace", "intercept"), TABLE)
def test_two_trials_give_the_table(
    t400: float, t200: float, speed: float, pace: float, intercept: float
) -> None:
    css = _pair(t400, t200)
    assert css.speed == pytest.approx(speed, abs=5e-5)
    assert css.pace == pytest.approx(pace, abs=1e-9)
    assert css.intercept_m == pytest.approx(intercept, abs=0.06)
    assert css.r2 is None


@pytest.mark.parametrize(
    ("t200", "t400", "speed", "intercept"),
    [
        (106.6, 223.8, 1.7065, 18.09),
        (103.6, 220.4, 1.7123, 22.60),
        (116.7, 243.8, 1.5736, 16.37),
        (114.1, 240.0, 1.5886, 18.75),
    ],
)
def test_record_holders_have_plausible_intercepts(
    t200: float, t400: float, speed: float, intercept: float
) -> None:
    css = _pair(t400, t200)
    assert css.speed == pytest.approx(speed, abs=5e-5)
    assert css.intercept_m == pytest.approx(intercept, abs=5e-3)


@pytest.mark.parametrize(
    ("distances", "times", "slope", "intercept", "r2"),
    [
        ((50, 100, 200, 400), (21.8, 48.2, 106.6, 223.8), 1.724356, 14.8919, 0.999827),
        ((200, 400, 800, 1500), (106.6, 223.8, 466.0, 881.6), 1.675146, 22.2761, 0.999982),
    ],
)
def test_more_trials_are_least_squares_of_distance_on_time(
    distances: tuple[float, ...], times: tuple[float, ...], slope: float, intercept: float, r2: float
) -> None:
    css = critical_speed(distances, times)
    assert css.speed == pytest.approx(slope, abs=5e-7)
    assert css.intercept_m == pytest.approx(intercept, abs=5e-5)
    assert css.r2 == pytest.approx(r2, abs=5e-7)
    assert np.polyfit(times, distances, 1) == pytest.approx([css.speed, css.intercept_m], rel=1e-9)


def test_nist_norris_is_reproduced() -> None:
    """NIST StRD, Norris: certified slope and intercept (data as in scipy's own test of linregress)."""
    x = [
        0.2,
        337.4,
        118.2,
        884.6,
        10.1,
        226.5,
        666.3,
        996.3,
        448.6,
        777.0,
        558.2,
        0.4,
        0.6,
        775.5,
        666.9,
        338.0,
    ]
    x += [
        447.5,
        11.6,
        556.0,
        228.1,
        995.8,
        887.6,
        120.2,
        0.3,
        0.3,
        556.8,
        339.1,
        887.2,
        999.0,
        779.0,
        11.1,
        118.3,
    ]
    x += [229.2, 669.1, 448.9, 0.5]
    y = [
        0.1,
        338.8,
        118.1,
        888.0,
        9.2,
        228.1,
        668.5,
        998.5,
        449.1,
        778.9,
        559.2,
        0.3,
        0.1,
        778.1,
        668.8,
        339.3,
    ]
    y += [
        448.9,
        10.8,
        557.7,
        228.3,
        998.0,
        888.8,
        119.6,
        0.3,
        0.6,
        557.6,
        339.3,
        888.0,
        998.5,
        778.9,
        10.2,
        117.6,
    ]
    y += [228.9, 668.4, 449.2, 0.2]
    # Repeated and crossing x are no swims, so the slope is asked by the door that takes any numbers.
    assert critical_rate(y, x) / 60.0 == pytest.approx(1.00211681802045, rel=1e-12)


@given(
    st.floats(0.4, 2.0),
    st.floats(0.0, 40.0),
    st.lists(st.integers(50, 2000), min_size=2, max_size=6, unique=True),
)
def test_trials_on_a_line_give_back_the_line(speed: float, intercept: float, distances: list[int]) -> None:
    css = critical_speed(distances, [(d - intercept) / speed for d in distances])
    assert css.speed == pytest.approx(speed, rel=1e-9)
    assert css.intercept_m == pytest.approx(intercept, abs=1e-6)


@given(st.floats(2.01, 2.4), st.floats(60, 400))
def test_the_intercept_is_a_function_of_the_ratio_alone(ratio: float, t200: float) -> None:
    assert _pair(ratio * t200, t200).intercept_m == pytest.approx((200 * ratio - 400) / (ratio - 1), abs=1e-6)


@pytest.mark.parametrize(
    ("error", "sd", "percent"),
    [(0.006, 1.33, 1.27), (0.01, 2.21, 2.11), (0.015, 3.32, 3.16), (0.02, 4.43, 4.22)],
)
def test_css_is_noisier_than_its_trials(error: float, sd: float, percent: float) -> None:
    css = _pair(400, 190)
    assert pace_error(css, error) == pytest.approx(sd, abs=5e-3)
    assert 100 * pace_error(css, error) / css.pace == pytest.approx(percent, abs=5e-3)
    assert pace_error(css, error) / css.pace > 2 * error


def test_errors_shared_by_the_day_partly_cancel() -> None:
    css = _pair(400, 190)
    shared = pace_error(css, 0.01, correlation=0.5) / css.pace / 0.01
    assert shared == pytest.approx(1.65, abs=0.005)
    assert pace_error(css, 0.01, correlation=1.0) == pytest.approx(0.01 * css.pace, rel=1e-9)


def test_the_propagated_error_agrees_with_simulation() -> None:
    rng = np.random.default_rng(5)
    times = np.array([48.0, 106.0, 224.0, 466.0])
    distances = np.array([100.0, 200.0, 400.0, 800.0])
    noisy = times * np.exp(rng.normal(0, 0.005, (20_000, 4)))
    centred = noisy - noisy.mean(1, keepdims=True)
    paces = 100 * (centred**2).sum(1) / (centred * (distances - distances.mean())).sum(1)
    css = critical_speed(distances.tolist(), times.tolist())
    assert pace_error(css, 0.005) == pytest.approx(paces.std(), rel=0.03)


def test_the_interval_is_ninety_percent_and_holds_the_pace() -> None:
    css = _pair(400, 190)
    low, high = pace_interval(css, 0.01)
    assert (high - low) / 2 == pytest.approx(1.645 * pace_error(css, 0.01), rel=1e-3)
    assert low < css.pace < high


def test_a_trial_may_have_its_own_error() -> None:
    css = _pair(400, 190)
    assert pace_error(css, (0.0, 0.01)) == pytest.approx(0.01 * 400 / 2, rel=1e-9)


def test_one_distance_is_too_few() -> None:
    with pytest.raises(TooFewError, match="two different distances"):
        critical_speed((400.0, 400.0), (400.0, 401.0))


def test_swapped_times_are_refused() -> None:
    with pytest.raises(UsageError, match="check the times and their order"):
        _pair(190, 400)


def test_critical_rate_is_cycles_on_time() -> None:
    # (N400 - N200) / (T400 - T200) * 60, Dekerle et al. 2002
    assert critical_rate((220.0, 105.0), (400.0, 190.0)) == pytest.approx(115 / 210 * 60)
    with pytest.raises(TooFewError, match="two swims"):
        critical_rate((220.0, 105.0), (400.0, 400.0))


def test_send_offs_leave_at_least_the_rest_and_are_read_off_a_clock() -> None:
    rows = {row.distance_m: row for row in set_paces(105.0)}
    assert rows[100].time_s == 105.0
    assert rows[100].send_offs_s == (115.0, 125.0, 135.0)
    assert rows[200].send_offs_s == (220.0, 230.0, 240.0)
    for row in set_paces(98.7):
        for off, rest in zip(row.send_offs_s, (10, 20, 30), strict=True):
            assert off - row.time_s >= rest - 1e-9
            assert off - row.time_s < rest + 5
            assert math.isclose(off % 5, 0)
