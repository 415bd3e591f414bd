"""Looks are what a user would have been told then, and made swimmers do what their plan says."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from tests.simulate.seasons import JOINT, QUICK, season
from tests.validation.coverage import spans_of
from tests.validation.door import FIRST_DAY, breaks_of, case_of, due, looks, observed_of, rows_of
from tests.validation.false_alarms import PERIODS, by_period, ever
from tests.validation.plan import Plan, made, many
from tests.validation.populations import Judged, from_first_test
from tests.validation.reliability import BUILT_IN_TEACHING
from tests.validation.two_protocols import GAP, _with_second
from tracker.engine.series.rows import day_number
from tracker.engine.trend.observations import observations_from_lists
from tracker.engine.verdict.judge import examine, judge_case
from tracker.engine.verdict.levels import HELD
from tracker.engine.verdict.verdict import Word
from tracker.model.units import DAYS_PER_MONTH
from tracker.settings import DEFAULT


def test_a_look_says_what_the_verdict_says() -> None:
    """Each look of two swimmers against the whole way from rows to a verdict, cut off at its day."""
    swimmers = many(np.random.default_rng(1), 2, Plan(before=0.8, after=0.0, change=5.0, months=9.0))
    seen = looks(*observed_of(swimmers, BUILT_IN_TEACHING), every=1.0)
    rows = rows_of(swimmers)
    assert seen.owner.size >= 12
    for owner, month, tests, p, word in zip(
        seen.owner, seen.month, seen.tests, seen.p, seen.word, strict=True
    ):
        last = FIRST_DAY + round(month * DAYS_PER_MONTH)
        case = examine(rows.keep((rows.swimmer == owner) & (rows.day <= last)), BUILT_IN_TEACHING, DEFAULT)
        verdict = judge_case(case, DEFAULT)[0]
        assert (day_number(verdict.last), verdict.tests) == (last, tests)
        assert verdict.p_flat == pytest.approx(p[1], abs=1e-9)
        assert verdict.verdict == (Word.UNDECIDED if word < 0 else HELD[word])
    assert {-1, 0} <= set(seen.word.tolist())


def test_no_look_comes_before_a_verdict_may() -> None:
    week = 7 / DAYS_PER_MONTH
    tests = observations_from_lists(
        [np.arange(30) * week, np.arange(9) * 3 * week], [np.zeros(30), np.zeros(9)]
    )
    seen, owner = due(tests, week)
    assert seen[owner == 0].tolist() == list(range(11, 31))
    assert seen[owner == 1].tolist() == [8, 9]


def test_false_alarms_of_all_periods_add_up_to_all() -> None:
    swimmers = many(np.random.default_rng(2), 12, Plan(before=0.3, after=0.3, months=24.0))
    seen = looks(*observed_of(swimmers, BUILT_IN_TEACHING), every=1.0)
    parts = by_period(seen, 1, 12)
    assert sum(part.events for part in parts) == ever(seen, 1, 12).events > 0
    assert len(parts) == len(PERIODS) - 1
    assert sum(part.years for part in parts) == pytest.approx(ever(seen, 1, 12).years)


def test_a_planned_swimmer_gains_as_planned_and_stops() -> None:
    quiet = Plan(before=0.6, after=0.0, change=12.0, months=24.0, noise=(0.0, 0.0))
    swimmer = made(np.random.default_rng(3), quiet)
    np.testing.assert_allclose(swimmer.y, 0.6 * np.minimum(swimmer.t, 12.0), atol=0.02)
    assert swimmer.onset == pytest.approx(12.0, abs=0.05)
    assert swimmer.now == 0.0


@pytest.mark.parametrize("law", ["mixed", "normal", "t3", "skew"])
def test_noise_is_of_the_size_said(law: str) -> None:
    rng = np.random.default_rng(4)
    plan = Plan(before=0.0, after=0.0, law=law, noise=(1.0, 1.0), shared=0.3)
    swimmers = many(rng, 60, plan)
    assert np.concatenate([s.y for s in swimmers]).std() == pytest.approx(1.0, abs=0.2)


def test_holes_and_lay_offs_leave_no_tests() -> None:
    rng = np.random.default_rng(5)
    assert np.diff(made(rng, Plan(holes=1)).t).max() * DAYS_PER_MONTH >= 70
    laid_off = made(rng, Plan(step=1.5, noise=(0.0, 0.0)))
    assert np.diff(laid_off.t).max() * DAYS_PER_MONTH >= 28
    assert laid_off.y[-1] == pytest.approx(0.6 * laid_off.t[-1] - 3.0, abs=0.05)


def test_time_and_truth_are_counted_from_the_first_test() -> None:
    rng = np.random.default_rng(6)
    for _ in range(20):
        before = season(rng, QUICK)
        after = from_first_test(before)
        assert after.t[0] == 0
        assert after.now == before.now
        assert after.onset == pytest.approx(max(before.onset - before.t[0], 0), abs=1.1 / DAYS_PER_MONTH)


def test_a_second_test_a_week_leaves_the_first_as_it_was() -> None:
    swimmer = made(np.random.default_rng(7), Plan(after=0.0))
    for name, apart in GAP.items():
        both = _with_second(swimmer, name, 3)
        added = both.t.size - swimmer.t.size
        assert (added > 50) == (apart is not None)
        assert set(swimmer.y) <= set(both.y)
        assert (np.diff(both.t) >= 0).all()


def test_onsets_are_dated_as_verdict_and_engine_date_them() -> None:
    swimmers = [from_first_test(season(np.random.default_rng((8, i)), JOINT)) for i in range(30)]
    case = case_of(swimmers, BUILT_IN_TEACHING)
    found = spans_of(Judged(swimmers, case), "gaining")
    assert found["engine"].true.size == found["verdict"].true.size > 0
    np.testing.assert_allclose(found["engine"].estimate, found["verdict"].estimate, atol=1.0 / DAYS_PER_MONTH)
    plateaus = spans_of(Judged(swimmers, case), "plateau")
    assert (plateaus["verdict"].low <= plateaus["verdict"].estimate).all()
    assert (plateaus["verdict"].estimate <= plateaus["verdict"].high).all()


def test_a_marked_break_is_where_the_tests_begin_again_and_the_level_is_lower() -> None:
    rng = np.random.default_rng(9)
    drawn = (from_first_test(season(rng, replace(QUICK, layoff=1.0))) for _ in range(40))
    swimmers = [swimmer for swimmer in drawn if swimmer.back is not None and swimmer.back > 1]
    assert len(swimmers) > 20
    for swimmer in swimmers:
        after = int(np.searchsorted(swimmer.t, swimmer.back - 0.5 / DAYS_PER_MONTH))
        assert (swimmer.t[after] - swimmer.t[after - 1]) * DAYS_PER_MONTH > 20
    events = breaks_of(swimmers)
    assert len(events) == len(swimmers)
    jumps = case_of(swimmers, BUILT_IN_TEACHING, events=events).answer.jump[:, 0]
    assert -2.5 < jumps.mean() < -0.5
