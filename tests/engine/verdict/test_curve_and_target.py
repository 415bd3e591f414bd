"""The fitted line over a dated jump, the onset of a flat present, and a target's rate and chance, by hand."""

from __future__ import annotations

import datetime as dt
import math
from dataclasses import replace

import numpy as np
import pytest

from tests.builders import a_season
from tests.engine.verdict.test_the_present import GAINING, rows_of
from tracker.engine.series.rows import day_date
from tracker.engine.trend.priors import FLAT
from tracker.engine.verdict.chart import curve, jumped
from tracker.engine.verdict.decide import _onset
from tracker.engine.verdict.forecast import Aim
from tracker.engine.verdict.judge import Case, examine, judge_case, learn_priors
from tracker.model.units import DAYS_PER_MONTH
from tracker.settings import DEFAULT


def examined(days: list[int], paces: list[float], jumps: list[int] | None = None) -> Case:
    rows = rows_of(days, paces)
    return examine(rows, learn_priors(rows, DEFAULT), DEFAULT, events={"Ines": jumps or []})


def test_the_line_steps_where_a_break_cost_five_percent() -> None:
    days, paces = a_season([(8.0, 0.0)], seed=3, noise=0.2)
    at = days[len(days) // 2]
    slower = [pace * (1.05 if day >= at else 1.0) for day, pace in zip(days, paces, strict=True)]
    case = examined(days, slower, [at])
    drawn = curve(case.series, case.answer, 0)
    assert drawn is not None
    of_day = list(zip(drawn.dates, drawn.pace, strict=True))
    before = [pace for day, pace in of_day if day < day_date(at)]
    after = [pace for day, pace in of_day if day > day_date(at)]
    assert np.median(after) / np.median(before) == pytest.approx(1.05, abs=0.004)
    assert sum(day == day_date(at) for day, _ in of_day) >= 2, "two points on the day of the step"
    assert all(
        low <= mid <= high for low, mid, high in zip(drawn.fastest, drawn.pace, drawn.slowest, strict=True)
    )
    assert curve(case.series, replace(case.answer, line=None), 0) is None
    assert jumped(case.series, case.answer, 0) == pytest.approx(-100 * math.log(1.05), abs=1.0)
    unbroken = examined(days, paces)
    assert jumped(unbroken.series, unbroken.answer, 0) == 0.0


def test_a_flat_present_began_where_its_flat_stretch_did_and_a_moving_one_where_the_engine_says() -> None:
    case = examined(*a_season([(6.0, 0.9), (8.0, 0.0)], seed=4, noise=0.6))
    last = dt.date(2100, 1, 1)
    (stretch,) = judge_case(case, DEFAULT)[0].flat_stretches
    flat = _onset(case.series, case.answer, 0, FLAT, last)
    assert (flat.since, flat.low, flat.before_record) == (stretch.start, stretch.start_low, False)
    onsets = case.answer.onset.copy()
    onsets[0, GAINING] = (1.0, 2.0, 4.0)
    moved = replace(case.answer, onset=onsets, before_record=np.zeros_like(case.answer.before_record))
    first = day_date(case.series.day(0, 0.0))
    assert (_onset(case.series, moved, 0, GAINING, last).since - first).days == 61


def test_a_target_says_the_rate_it_needs_and_what_the_forecast_makes_likely() -> None:
    """The pace foretold for a day is even odds on that day; a faster one is less likely, and needs more."""
    case = examined(*a_season([(10.0, 0.9)], seed=5))
    (found,) = judge_case(case, DEFAULT, detail=True)
    ahead = found.forecast[1]
    months = (ahead.date - found.last).days / DAYS_PER_MONTH
    said = {
        pace: judge_case(case, DEFAULT, detail=True, aims={"Ines": Aim(pace, ahead.date)})[0].target
        for pace in (0.97 * ahead.pace, ahead.pace, 1.03 * ahead.pace)
    }
    chances = [target.chance for target in said.values()]
    assert chances[1] == pytest.approx(0.5, abs=0.02)
    assert chances[0] < 0.1
    assert chances[2] > 0.9
    for pace, target in said.items():
        assert target.needed == pytest.approx(100 * math.log(found.present_pace / pace) / months)


@pytest.mark.parametrize(("days_later", "kept"), [(-1, False), (0, False), (1, True)])
def test_a_target_of_a_day_that_the_tests_have_reached_is_left_out(days_later: int, kept: bool) -> None:
    case = examined(*a_season([(6.0, 0.5)], seed=6))
    last = judge_case(case, DEFAULT)[0].last
    aim = Aim(90.0, last + dt.timedelta(days=days_later))
    (found,) = judge_case(case, DEFAULT, detail=True, aims={"Ines": aim})
    assert (found.target is not None) is kept
