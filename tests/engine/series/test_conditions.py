"""Conditions of a test: what the hour weighs, what a break is, which kinds they make."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace
from math import nan
from typing import Any

import numpy as np
import pytest
from numpy.typing import NDArray

from tests.builders import a_swim
from tracker.engine.series.comparable import Series, comparable_series
from tracker.engine.series.conditions import (
    CONDITIONS,
    Condition,
    after_breaks,
    breaks,
    no_conditions,
    swing,
    whole_hours,
)
from tracker.engine.series.from_swims import rows_from_swims, swims_columns
from tracker.engine.series.left_out import LeftOutReason
from tracker.engine.series.rows import Rows, sorted_rows
from tracker.model.swim import Swim
from tracker.settings import DEFAULT

HOUR = CONDITIONS.index(Condition.HOUR)


def rows_with(hours: list[float], *, names: list[str] | None = None, test: str = "400 m") -> Rows:
    """Return weekly tests at these hours."""
    size = len(hours)
    conditions = no_conditions(size)
    conditions[:, HOUR] = hours
    text = np.full(size, "SCM", object)
    return sorted_rows(
        np.array(names or ["Ada"] * size, object),
        np.arange(size) * 7,
        90.0 + 0.1 * np.arange(size),
        np.ones(size),
        (np.full(size, test, object), text, np.full(size, "", object)),
        conditions,
    )


def the_arrays(series: Series) -> list[NDArray[Any]]:
    return [*series.kind, *series.level, series.design, series.plain]


def test_the_swing_of_the_day_is_that_of_the_olympic_finalists() -> None:
    """Lok et al. 2020, Sci Rep 10:16088: best at 17:12, 0.32 % slower at 08:00: the whole swing is 0.367 %.

    At 10:00 it is (1 + sin 18 degrees) / 2.
    """
    assert float(swing(17.2)) == 0.0
    assert 0.32 / float(swing(8.0)) == pytest.approx(0.367, abs=5e-4)
    assert float(swing(10.0)) == pytest.approx((1 + np.sin(np.pi / 10)) / 2)
    assert np.round(swing(np.array([6, 12, 18])), 2).tolist() == [0.99, 0.40, 0.01]


def test_what_was_measured_between_trough_and_peak_lies_within_the_prior() -> None:
    """Kline et al. 2007, J Appl Physiol 102:641: 5.8 of 169.5 s; Rae et al. 2015, EJAP 115: 0.19 %."""
    traits = Condition.HOUR.traits
    for measured in (100 * 5.8 / 169.5, 0.19, 2.5):
        assert abs(-measured - traits.mean) < 1.96 * traits.sd


def test_a_tapered_olympic_swim_lies_within_the_prior() -> None:
    """Mujika, Padilla & Pyne 2002: 2.2 % after a taper; Zacca et al. 2019: -3.8 % after four weeks off."""
    for condition, measured in ((Condition.TAPER, 2.2), (Condition.BREAK, -3.8)):
        assert abs(measured - condition.traits.mean) < 1.96 * condition.traits.sd


def test_an_hour_is_the_nearest_whole_one() -> None:
    found = whole_hours(np.array(["07:29", "07:30", "23:45", "", "18:00:59"], object))
    assert found[[0, 1, 2, 4]].tolist() == [7.0, 8.0, 0.0, 18.0]
    assert np.isnan(found[3])


def test_a_break_is_long_and_unusual() -> None:
    weekly = [0, 7, 14, 21]
    assert breaks(np.array([*weekly, 42])) == []
    assert breaks(np.array([*weekly, 43])) == [(21, 43)]
    monthly = np.arange(8) * 30
    assert breaks(monthly) == []
    assert breaks(np.append(monthly, 300)) == [(210, 300)]


def test_the_four_weeks_after_a_break_are_marked_and_nobody_elses() -> None:
    days = np.array([0, 7, 14, 44, 51, 65, 72, 73, 0, 7, 14])
    names = np.array(["Ada"] * 8 + ["Bo"] * 3, object)
    assert np.flatnonzero(after_breaks(names, days)).tolist() == [3, 4, 5, 6]


def test_an_hour_that_never_changes_leaves_the_arrays_as_they_are() -> None:
    bare = the_arrays(comparable_series(rows_with([nan] * 6)))
    for hours in ([7.0] * 6, [nan, 7.0, nan, 7.0, 7.0, nan]):
        found = the_arrays(comparable_series(rows_with(hours)))
        assert all(np.array_equal(a, b) for a, b in zip(found, bare, strict=True))
        assert comparable_series(rows_with(hours)).features == ()


def test_swimmers_of_different_hours_who_keep_to_theirs_make_no_column() -> None:
    series = comparable_series(rows_with([7.0] * 3 + [18.0] * 3, names=["Ada"] * 3 + ["Bo"] * 3))
    assert series.features == ()


def test_an_unknown_hour_is_the_usual_one() -> None:
    """Three in four are at 18:00: on average they weigh 0.25, as 22:00 or 13:00 do about."""
    hours = [18.0, 18.0, nan, 7.0, nan, 18.0]
    series = comparable_series(rows_with(hours))
    assert series.features == (Condition.HOUR,)
    weights = series.design[series.kind[0], 0]
    assert weights[[0, 3]].tolist() == swing(np.array([18, 7])).tolist()
    assert weights[2] == weights[4] == pytest.approx(np.nanmean(swing(np.array(hours))), abs=0.05)


def test_two_tests_of_one_day_may_have_two_hours() -> None:
    rows = replace(rows_with([7.0, 18.0, 7.0, 18.0]), day=np.array([0, 0, 7, 7]))
    series = comparable_series(rows)
    assert len(set(series.kind[0].tolist())) == 2
    assert set(series.kinds) == {"400 m SCM"}


def test_a_kinds_name_and_the_reference_leave_the_conditions_out() -> None:
    """Twelve 400s at four hours stay the commonest kind beside five 200s at one."""
    hours = [7.0, 8.0, 17.0, 18.0] * 3 + [7.0] * 5
    rows = rows_with(hours)
    rows = replace(rows, protocol=np.array(["400 m"] * 12 + ["200 m"] * 5, object))
    series = comparable_series(rows)
    assert set(series.kinds) == {"400 m SCM", "200 m SCM"}
    assert series.reference.protocol == "400 m"
    from tracker.engine.verdict.judge import observations_of

    (reference,) = observations_of(series).reference().tolist()
    assert series.kinds[reference] == "400 m SCM"


def columns(*swims: Swim) -> dict[str, NDArray[np.float64]]:
    return swims_columns([swim.model_dump() for swim in swims])


@pytest.mark.parametrize(
    ("effort", "kept"), [(None, True), (10, True), (9, True), (8, True), (7, False), (1, False)]
)
def test_an_easy_swim_is_no_test(effort: int | None, *, kept: bool) -> None:
    rows, left = rows_from_swims(columns(a_swim(0), a_swim(7, effort=effort)), DEFAULT)
    assert rows is not None
    assert len(rows) == 1 + kept
    assert [one.reason for one in left] == [] if kept else [LeftOutReason.EASY]


def test_effort_that_is_always_7_leaves_nothing() -> None:
    rows, left = rows_from_swims(columns(*(a_swim(7 * n, effort=7) for n in range(9))), DEFAULT)
    assert rows is None
    assert len(left) == 9


def test_what_was_written_down_becomes_conditions() -> None:
    swims = [
        a_swim(0),
        a_swim(7, effort=8, at="07:10"),
        a_swim(14, taper="yes"),
        a_swim(21, warmup_min=60.0),
        a_swim(28, rest_s=5.0),
        a_swim(35, 188.0, distance_m=200.0, test="css", set_id="s", rest_s=120.0),
        a_swim(35, 400.0, test="css", set_id="s"),
    ]
    rows, _ = rows_from_swims(columns(*swims), DEFAULT)
    assert rows is not None
    found = [
        [str(CONDITIONS[c]) for c in range(len(CONDITIONS)) if c != HOUR and row[c]]
        for row in rows.conditions
    ]
    assert found[:5] == [[], [Condition.EFFORT], [Condition.TAPER], [Condition.WARM_UP], []]
    assert [Condition.REST] in found[5:]
    assert rows.conditions[1, HOUR] == 7.0


@pytest.mark.parametrize(
    ("minutes", "another"), [(5, True), (9, True), (10, False), (45, False), (46, True), (None, False)]
)
def test_ten_to_45_minutes_after_the_warm_up_are_as_usual(minutes: int | None, *, another: bool) -> None:
    """West et al. 2013: 200 m 1.5 % faster 20 than 45 minutes after it."""
    rows, _ = rows_from_swims(columns(a_swim(0, warmup_min=minutes)), DEFAULT)
    assert rows is not None
    assert bool(rows.conditions[0, CONDITIONS.index(Condition.WARM_UP)]) is another


def test_an_easy_swim_ends_a_break_all_the_same() -> None:
    """Who swims easily all through September was not away."""
    before = [a_swim(7 * n) for n in range(4)]
    easy = [a_swim(d, effort=4) for d in (28, 35, 42)]
    back = [a_swim(49)]
    for between, marked in ((easy, False), ([], True)):
        rows, _ = rows_from_swims(columns(*before, *between, *back), DEFAULT)
        assert rows is not None
        assert bool(rows.conditions[-1, CONDITIONS.index(Condition.BREAK)]) is marked


def test_days_to_come_do_not_change_what_was_a_break() -> None:
    swims = [a_swim(d) for d in (0, 7, 14, 40, 80, 120, 160, 200)]
    until = swims[3].date + dt.timedelta(days=1)
    alone, _ = rows_from_swims(columns(*swims[:4]), DEFAULT)
    cut, _ = rows_from_swims(columns(*swims), DEFAULT, until=until)
    assert alone is not None
    assert cut is not None
    assert np.array_equal(alone.conditions, cut.conditions, equal_nan=True)
    assert alone.conditions[-1, CONDITIONS.index(Condition.BREAK)] == 1.0
