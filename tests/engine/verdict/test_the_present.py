"""What a verdict says of the present, by hand: its onset, whether it is stale, and which switch it names."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace

import numpy as np
import pytest

from tests.builders import a_season
from tracker.engine.series.rows import Rows, day_date, sorted_rows
from tracker.engine.trend.posterior import Answer
from tracker.engine.verdict.decide import _onset
from tracker.engine.verdict.judge import Case, examine, judge_case, learn_priors
from tracker.engine.verdict.second_look import _repeats
from tracker.engine.verdict.verdict import HiddenSwitch
from tracker.settings import DEFAULT

GAINING = 0


def rows_of(days: list[int], paces: list[float]) -> Rows:
    blank = np.array([""] * len(days), object)
    names = np.array(["Ines"] * len(days), object)
    return sorted_rows(names, np.array(days), np.array(paces), np.ones(len(days)), (blank, blank, blank))


@pytest.fixture(scope="module")
def case() -> Case:
    rows = rows_of(*a_season([(10.0, 0.9)], seed=5))
    return examine(rows, learn_priors(rows, DEFAULT), DEFAULT)


@pytest.mark.parametrize(
    ("stale_days", "days_later", "stale"), [(60, 60, False), (60, 61, True), (21, 21, False), (21, 22, True)]
)
def test_a_verdict_is_stale_from_the_day_after_the_days_of_the_settings(
    case: Case, stale_days: int, days_later: int, stale: bool
) -> None:
    last = judge_case(case, DEFAULT)[0].last
    as_of = last + dt.timedelta(days=days_later)
    (found,) = judge_case(case, replace(DEFAULT, stale_days=stale_days), as_of=as_of)
    assert (found.stale, found.as_of) == (stale, as_of)


def test_a_verdict_of_no_day_in_particular_is_that_of_the_last_test_and_never_stale(case: Case) -> None:
    (found,) = judge_case(case, replace(DEFAULT, stale_days=0))
    assert (found.as_of, found.stale) == (found.last, False)


def before(answer: Answer, chance: float, onset: tuple[float, float, float] = (1.0, 2.0, 4.0)) -> Answer:
    """Return the answer with another chance that the gain began before the record, and another onset."""
    chances, onsets = answer.before_record.copy(), answer.onset.copy()
    chances[0, GAINING], onsets[0, GAINING] = chance, onset
    return replace(answer, before_record=chances, onset=onsets)


@pytest.mark.parametrize("chance", [0.0, 0.05])
def test_an_onset_inside_the_record_has_its_three_days(case: Case, chance: float) -> None:
    """A month is 365.25 / 12 days: one, two and four of them are 30, 61 and 122 days."""
    first = day_date(case.series.day(0, 0.0))
    found = _onset(case.series, before(case.answer, chance), 0, GAINING, dt.date(2100, 1, 1))
    assert [(day - first).days for day in (found.low, found.since, found.high)] == [30, 61, 122]
    assert not found.before_record


@pytest.mark.parametrize("chance", [0.06, 0.5])
def test_an_onset_that_may_lie_before_the_record_has_no_first_day(case: Case, chance: float) -> None:
    first = day_date(case.series.day(0, 0.0))
    found = _onset(case.series, before(case.answer, chance), 0, GAINING, dt.date(2100, 1, 1))
    assert (found.low, (found.since - first).days, found.before_record) == (None, 61, False)


@pytest.mark.parametrize("chance", [0.51, 0.9])
def test_an_onset_more_likely_before_the_record_than_in_it_is_open(case: Case, chance: float) -> None:
    first = day_date(case.series.day(0, 0.0))
    found = _onset(case.series, before(case.answer, chance), 0, GAINING, dt.date(2100, 1, 1))
    assert (found.low, found.since, found.before_record) == (None, first, True)
    assert (found.high - first).days == 122


def test_an_interval_always_holds_its_onset(case: Case) -> None:
    """Three medians of three classes need not be in order; an interval is."""
    late = _onset(case.series, before(case.answer, 0.0, (3.0, 2.0, 1.0)), 0, GAINING, dt.date(2100, 1, 1))
    assert late.low == late.since == late.high


def test_a_switch_is_named_from_the_share_on_that_hides_a_change() -> None:
    """Four tenths of the leading word's chance, `covariates.HIDDEN`: at it and above, never below."""
    days, paces = a_season([(10.0, 0.9)], seed=5)
    half = len(days) // 2
    course = np.array(["SCM"] * half + ["LCM"] * (len(days) - half), object)
    names, blank = np.array(["Ines"] * len(days), object), np.array([""] * len(days), object)
    rows = sorted_rows(names, np.array(days), np.array(paces), np.ones(len(days)), (blank, course, blank))
    case = examine(rows, learn_priors(rows, DEFAULT), DEFAULT)
    for share, named in [(0.39, []), (0.4, ["SCM"]), (0.7, ["SCM"])]:
        answer = replace(case.answer, alias=np.full_like(case.answer.alias, share))
        (found,) = judge_case(replace(case, answer=answer), DEFAULT)
        said = [reason.what for reason in found.reasons if isinstance(reason, HiddenSwitch)]
        assert said == named


def test_what_is_to_come_is_one_two_and_three_months_after_the_last_test(case: Case) -> None:
    """Of 30.4375 days: 30, 61 and 91 days on; a test in between its fastest and its slowest."""
    (found,) = judge_case(case, DEFAULT, detail=True)
    assert [(one.date - found.last).days for one in found.forecast] == [30, 61, 91]
    paces = [one.pace for one in found.forecast]
    assert paces == sorted(paces, reverse=True), "who gains gets faster"
    assert paces[0] < found.present_pace
    assert all(one.fastest < one.pace < one.slowest for one in found.forecast)


@pytest.mark.parametrize(("apart", "pairs"), [(9, 6), (10, 6), (11, 0), (5, 6)])
def test_repeats_are_tests_ten_days_apart_at_most_each_used_once(apart: int, pairs: int) -> None:
    """Six pairs, a month from the first of one to the first of the next."""
    days = [n for start in range(0, 6 * 31, 31) for n in (start, start + apart)]
    rows = rows_of(days, [100.0 + 0.1 * (n % 3) for n in range(len(days))])
    found = _repeats(examine(rows, learn_priors(rows, DEFAULT), DEFAULT))
    assert (0 if found is None else found.pairs) == pairs


def test_a_chain_of_near_tests_gives_every_test_to_one_pair_only() -> None:
    rows = rows_of([5 * n for n in range(9)], [100.0 + 0.1 * (n % 3) for n in range(9)])
    assert _repeats(examine(rows, learn_priors(rows, DEFAULT), DEFAULT)).pairs == 4
