"""The story of a series: from the first test to the last, never against the word."""

from __future__ import annotations

import datetime as dt
from itertools import pairwise

import pytest

from tests.builders import START, a_season, a_swim
from tracker.engine.series.from_swims import rows_from_swims, swims_columns
from tracker.engine.series.protocols import Reference
from tracker.engine.trend.priors import BUILT_IN
from tracker.engine.verdict.judge import LearnedPriors, examine, judge_case
from tracker.engine.verdict.verdict import StorySpan, Verdict, Word
from tracker.settings import DEFAULT

PLAIN = LearnedPriors(BUILT_IN, Reference("400 m", "SCM", ""))


def judged(
    segments: list[tuple[float, float]], *, seed: int = 3, noise: float = 0.5, detail: bool = True
) -> Verdict:
    days, paces = a_season(segments, seed=seed, noise=noise)
    swims = [a_swim(day, round(4 * pace, 1)) for day, pace in zip(days, paces, strict=True)]
    rows, _ = rows_from_swims(swims_columns([swim.model_dump() for swim in swims]), DEFAULT)
    assert rows is not None
    return judge_case(examine(rows, PLAIN, DEFAULT), DEFAULT, detail=detail)[0]


def hold_together(verdict: Verdict) -> None:
    """Check what is so of every story."""
    story = verdict.story
    assert story[0].start == verdict.first
    assert story[-1].end == verdict.last
    assert [span.current for span in story] == [False] * (len(story) - 1) + [True]
    assert story[-1].word is verdict.verdict
    for one, other in pairwise(story):
        assert one.start < one.end == other.start
    for span in story:
        assert span.start_low is None or span.start_low <= span.start_high
        assert span.p is None or 0 <= span.p <= 1
        assert span.rate is None or span.rate_low <= span.rate <= span.rate_high


def words(verdict: Verdict) -> list[Word]:
    return [span.word for span in verdict.story]


def near(span: StorySpan, months: float, days: int = 45) -> bool:
    return abs((span.start - START).days - months * 30.4375) <= days


def test_gains_a_flat_year_and_a_restart_are_told_in_order() -> None:
    verdict = judged([(8.0, 1.0), (8.0, 0.0), (6.0, 1.0)])
    hold_together(verdict)
    assert words(verdict) == [Word.GAINING, Word.PLATEAU, Word.GAINING]
    first, flat, again = verdict.story
    assert near(flat, 8.0)
    assert near(again, 16.0)
    assert first.rate == pytest.approx(1.0, abs=0.25)
    assert flat.start_low is not None
    assert flat.start_low <= flat.start <= flat.start_high
    assert (flat.p or 0) > 0.6


def test_a_slip_right_after_a_gain_is_told_though_nothing_was_flat() -> None:
    verdict = judged([(10.0, 1.0), (8.0, -1.2)], noise=0.3)
    hold_together(verdict)
    assert words(verdict) == [Word.GAINING, Word.SLIPPING]
    assert near(verdict.story[1], 10.0)


def test_a_slip_that_is_over_is_told_too() -> None:
    verdict = judged([(9.0, 1.0), (8.0, -1.2), (9.0, 1.2)], noise=0.3)
    hold_together(verdict)
    assert words(verdict) == [Word.GAINING, Word.SLIPPING, Word.GAINING]


def test_a_short_record_has_a_story_of_one_span_and_no_number() -> None:
    verdict = judged([(1.0, 0.5)])
    assert verdict.lacks
    (span,) = verdict.story
    assert (span.word, span.p, span.rate) == (Word.TOO_EARLY, None, None)
    assert (span.start, span.end) == (verdict.first, verdict.last)


def test_a_word_that_may_have_held_from_the_start_takes_in_what_speaks_against_nothing() -> None:
    verdict = judged([(14.0, 0.9)])
    hold_together(verdict)
    assert words(verdict) == [Word.GAINING]


def test_nobody_pays_for_a_story_that_was_not_asked_for() -> None:
    assert judged([(8.0, 1.0), (8.0, 0.0)], detail=False).story == ()


@pytest.mark.parametrize("seed", range(12))
def test_whatever_the_record_the_story_holds_together(seed: int) -> None:
    """Cut at any month: in order, without a gap, ending in the word of the verdict."""
    shape = [(4.0 + seed % 5, 1.0), (3.0 + seed % 4, 0.0), (3.0, -0.8), (1.0 + seed % 6, 0.7)]
    hold_together(judged(shape, seed=seed, noise=1.1))


def test_dates_are_days() -> None:
    verdict = judged([(8.0, 1.0), (8.0, 0.0)])
    assert all(type(span.start) is dt.date for span in verdict.story)
