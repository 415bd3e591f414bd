"""Verdicts on tests at different hours, efforts and after tapers and breaks."""

from __future__ import annotations

from collections import Counter

import numpy as np
import pytest
from numpy.typing import NDArray

from tracker.engine.series.conditions import CONDITIONS, Condition, after_breaks, no_conditions, swing
from tracker.engine.series.rows import Rows, sorted_rows
from tracker.engine.trend.priors import BUILT_IN
from tracker.engine.verdict.judge import Case, LearnedPriors, examine, judge_case, learn_priors
from tracker.engine.verdict.verdict import HiddenSwitch, Verdict, Word
from tracker.model.units import DAYS_PER_MONTH
from tracker.settings import DEFAULT

NOISE, GAIN, EFFECT = 1.1, 0.5, 2.5
SWITCH, READ = 30, 35.5
"""Weeks: when the hour changes for good, and when the record is read."""


def rows_of(
    names: list[str], day: NDArray[np.int64], level: NDArray[np.float64], conditions: NDArray[np.float64]
) -> Rows:
    """Return one kind of test at these levels in percent."""
    blank = np.full(day.size, "", object)
    return sorted_rows(
        np.array(names, object),
        day,
        90.0 * np.exp(-level / 100),
        np.ones(day.size),
        (blank, blank, blank),
        conditions,
    )


def one_swimmer(
    rate: float, weeks: int, *, seed: int, **columns: NDArray[np.float64]
) -> tuple[NDArray[np.int64], NDArray[np.float64], NDArray[np.float64]]:
    """Return days, levels and conditions of weekly tests; `columns` by the condition's name."""
    day = 7 * np.arange(weeks)
    level = rate * day / DAYS_PER_MONTH + np.random.default_rng(seed).normal(0.0, NOISE, weeks)
    conditions = no_conditions(weeks)
    for name, values in columns.items():
        conditions[:, CONDITIONS.index(Condition[name.upper()])] = values
    return day, level, conditions


def judged(rows: Rows, learned: LearnedPriors | None = None) -> tuple[Case, tuple[Verdict, ...]]:
    from tracker.engine.series.comparable import comparable_series

    case = examine(rows, learned or LearnedPriors(BUILT_IN, comparable_series(rows).reference), DEFAULT)
    return case, judge_case(case, DEFAULT, detail=True)


def alone(
    day: NDArray[np.int64], level: NDArray[np.float64], conditions: NDArray[np.float64]
) -> tuple[Case, Verdict]:
    case, (verdict,) = judged(rows_of(["Ada"] * day.size, day, level, conditions))
    return case, verdict


def test_a_record_at_one_hour_reads_as_one_without_hours() -> None:
    day, level, bare = one_swimmer(GAIN, 30, seed=1)
    for hours in (np.full(30, 7.0), np.where(np.arange(30) % 2, 7.0, np.nan)):
        conditions = bare.copy()
        conditions[:, CONDITIONS.index(Condition.HOUR)] = hours
        assert alone(day, level, conditions)[1] == alone(day, level, bare)[1]


def test_an_hours_effect_on_every_test_moves_the_pace_and_nothing_else() -> None:
    hours = np.where(np.arange(30) % 3, 18.0, 7.0)
    day, level, conditions = one_swimmer(GAIN, 30, seed=2, hour=hours)
    before, after = (alone(day, level - less, conditions)[0].answer for less in (0.0, 1.7))
    assert after.p == pytest.approx(before.p, abs=1e-6)
    assert after.rate == pytest.approx(before.rate, abs=1e-6)
    assert after.offset == pytest.approx(before.offset, abs=1e-6)


def test_hours_missing_for_half_the_tests_still_tell_what_an_hour_is_worth() -> None:
    """Every other test says its hour; as many are in the morning as in the evening, said or not."""
    place = np.arange(80)
    hours = np.where(place % 4 < 2, 7.0, 18.0)
    day, level, conditions = one_swimmer(0.0, 80, seed=3, hour=np.where(place % 2, hours, np.nan))
    case, _ = alone(day, level - 3.0 * swing(hours), conditions)
    (worth,) = case.answer.offset[0]
    assert worth == pytest.approx(-3.0, abs=3 * case.answer.offset_sd[0, 0])
    assert worth < -1.5
    (usual,) = set(case.series.design[case.series.kind[0][::2], 0].tolist())
    assert usual == pytest.approx(0.5, abs=0.1)


def test_an_effort_of_8_is_noisier_and_does_not_bend_the_line() -> None:
    """An effort-7 swim is no test at all; one of 8 is about 4 % slower and carries less than half."""
    hard = np.random.default_rng(4).random(40) < 0.3
    day, level, conditions = one_swimmer(0.0, 40, seed=5, effort=hard.astype(float))
    case, verdict = alone(day, level - 4.0 * hard, conditions)
    assert verdict.verdict is not Word.SLIPPING
    assert case.answer.p[0, 1] > 0.5
    assert case.answer.offset[0, 0] == pytest.approx(-4.0, abs=1.5)
    assert case.learned.priors.noise_ratio[Condition.EFFORT] == 1.6


def test_a_taper_that_is_tagged_changes_no_verdict() -> None:
    """Mujika, Padilla & Pyne 2002: 2.2 % faster after a taper; here at the last test of a flat half year."""
    last = np.arange(26) == 25
    day, level, conditions = one_swimmer(0.0, 26, seed=6, taper=last.astype(float))
    _, plain = alone(day[:-1], level[:-1], conditions[:-1])
    _, tagged = alone(day, level + 2.2 * last, conditions)
    _, untagged = alone(day, level + 2.2 * last, no_conditions(26))
    assert tagged.verdict == plain.verdict
    assert tagged.p_gaining == pytest.approx(plain.p_gaining, abs=0.1)
    assert untagged.verdict is not Word.GAINING
    assert tagged.p_gaining < untagged.p_gaining


def test_the_tests_after_a_break_are_not_a_slip() -> None:
    """Zacca et al. 2019: 400 m 3.8 % slower after four weeks off."""
    day = np.concatenate([7 * np.arange(26), 7 * 25 + 28 + 7 * np.arange(3)])
    back = day > 7 * 25
    level = np.random.default_rng(7).normal(0.0, NOISE, day.size) - 3.8 * back
    conditions = no_conditions(day.size)
    _, unmarked = alone(day, level, conditions)
    conditions = conditions.copy()
    conditions[:, CONDITIONS.index(Condition.BREAK)] = after_breaks(np.full(day.size, "Ada", object), day)
    _, marked = alone(day, level, conditions)
    assert marked.verdict is not Word.SLIPPING
    assert marked.p_slipping < 0.3 < unmarked.p_slipping


def a_roster_that_moves(*, gaining: bool, logged: bool, seed: int) -> Rows:
    """Return 60 swimmers, weekly: steady gainers who went to mornings, or flat ones who went to evenings."""
    rng, weeks = np.random.default_rng(seed), int(READ) + 1
    day = np.tile(7 * np.arange(weeks), 60)
    late = day >= 7 * SWITCH
    hour = np.where(late == gaining, 7.0, 18.0)
    level = (GAIN if gaining else 0.0) * day / DAYS_PER_MONTH - EFFECT * swing(hour) / swing(7.0)
    level = level + rng.normal(0.0, NOISE, day.size)
    conditions = no_conditions(day.size)
    if logged:
        conditions[:, CONDITIONS.index(Condition.HOUR)] = hour
    names = [f"swimmer {n:02d}" for n in range(60) for _ in range(weeks)]
    return rows_of(names, day, level, conditions)


WRONG = {True: (Word.PLATEAU, Word.SLIPPING, Word.SLOWED), False: (Word.GAINING, Word.SLIPPING)}


def wrong_words(*, logged: bool, learn: bool) -> float:
    """Return the share of wrong words five and a half weeks after the tests moved to another hour."""
    wrong = 0
    for gaining in (True, False):
        rows = a_roster_that_moves(gaining=gaining, logged=logged, seed=int(gaining))
        _, found = judged(rows, learn_priors(rows, DEFAULT) if learn else None)
        words = Counter(verdict.verdict for verdict in found)
        wrong += sum(words[word] for word in WRONG[gaining])
    return wrong / 120


@pytest.mark.parametrize("learn", [False, True])
def test_a_change_of_hour_that_is_written_down_makes_no_wrong_words(*, learn: bool) -> None:
    """An hour's effect of 2.5 %, as of Baxter & Reilly 1983 and Martin et al. 2007, at week 30."""
    assert wrong_words(logged=False, learn=learn) > 0.2
    assert wrong_words(logged=True, learn=learn) <= 0.05


def test_one_who_moves_to_mornings_is_no_plateau() -> None:
    rows = a_roster_that_moves(gaining=True, logged=True, seed=8)
    _, found = judged(rows.keep(rows.swimmer < 6))
    assert not {verdict.verdict for verdict in found} & set(WRONG[True])
    assert HiddenSwitch("another hour of the day") in {reason for one in found for reason in one.reasons}


def test_what_an_hour_is_worth_is_learned_from_a_roster() -> None:
    """Rae et al. 2015: 26 adults, 0.19 % between 06:30 and 18:30: what is learned must be near nothing."""
    rng = np.random.default_rng(9)
    day = np.tile(7 * np.arange(24), 40)
    hour = np.where(rng.random(day.size) < 0.5, 7.0, 18.0)
    level = -0.19 * swing(hour) + rng.normal(0.0, NOISE, day.size)
    conditions = no_conditions(day.size)
    conditions[:, CONDITIONS.index(Condition.HOUR)] = hour
    rows = rows_of([f"swimmer {n:02d}" for n in range(40) for _ in range(24)], day, level, conditions)
    mean, _ = learn_priors(rows, DEFAULT).priors.offsets[Condition.HOUR]
    assert abs(mean) < 0.5
