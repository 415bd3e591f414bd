"""The story of a swimmer: links of flat, slipping and slowed spans, and what had changed before a restart."""

from __future__ import annotations

import pytest

from tests.technique.build import SWIMMER, a_stretch, a_verdict, day, steps
from tracker.engine.verdict.verdict import DatedStretch, StorySpan, Word
from tracker.model.work import Work
from tracker.output.sentences.story import QUESTIONS, questions, story_lines, story_sentence
from tracker.technique.fault_timeline import timelines
from tracker.technique.link import Link
from tracker.technique.link_rule import link_timelines
from tracker.technique.story import StoryPart, story_parts, with_changes

AS_OF = day("06-28")
NAMES = {"elbow-dropped": "Elbow drops", "breath-late": "Breath comes late"}
STEPS = steps(
    "2025-10-20 open elbow-dropped/left 2 Mika",
    "04-20 work elbow-dropped/left",
    "05-02 corrected elbow-dropped/left Mika",
)
KNOWN = timelines(STEPS, AS_OF)


def a_span(
    word: Word, start: str, end: str, *, p: float = 0.9, current: bool = False, **more: object
) -> StorySpan:
    at, till = day(start), day(end)
    given: dict[str, object] = {"rate": 0.5, "rate_low": 0.3, "rate_high": 0.7} | more
    return StorySpan(at, till, at, at, till, till, current, word, p, **given)


GAINED = a_span(Word.GAINING, "2025-05-02", "2025-11-03")
FLAT = a_span(Word.PLATEAU, "2025-11-03", "05-10", p=0.7, rate=0.0, rate_low=-0.1, rate_high=0.1)
AGAIN = a_span(Word.GAINING, "05-10", "06-28", p=0.75, current=True)


def linked(stretch: DatedStretch) -> Link:
    return link_timelines(stretch, KNOWN, as_of=AS_OF)


def told(*spans: StorySpan, present: Link | None = None) -> tuple[StoryPart, ...]:
    verdict = a_verdict(spans[-1].word, story=spans)
    parts = story_parts(verdict, {}, present, linked)
    work = [
        Work(from_date=day("04-25"), swimmer=SWIMMER, kind="cue", text="high elbow", fault="elbow-dropped")
    ]
    return with_changes(parts, SWIMMER, KNOWN, work)


def test_the_whole_story_in_a_sentence() -> None:
    assert story_sentence(told(GAINED, FLAT, AGAIN), NAMES, AS_OF) == (
        "Gaining from the first test (2 May 2025) to about 3 November 2025; "
        "probably level from about 3 November 2025 to about 10 May (uncorrected then: elbow drops, left); "
        "probably gaining again since about 10 May "
        "(after the cue high elbow and the correction of elbow drops)."
    )


def test_a_line_a_span_with_interval_rate_and_chance() -> None:
    lines = story_lines(told(GAINED, FLAT, AGAIN), NAMES, AS_OF)
    assert len(lines) == 3
    assert lines[0] == (
        "From the first test (2 May 2025) to about 3 November 2025: gaining, "
        "0.50 % a month faster (0.30 to 0.70); 90 %."
    )
    assert "(began 3 November 2025 to 3 November 2025)" in lines[1]
    assert "Left uncorrected when it began: Elbow drops, left" in lines[1]
    assert (
        "Shortly before: the cue high elbow (25 April) and the correction of elbow drops (2 May)." in lines[2]
    )
    assert all("because" not in line for line in lines)


@pytest.mark.parametrize("word", [Word.SLIPPING, Word.SLOWED, Word.PLATEAU])
def test_slips_and_slowdowns_have_a_link_by_the_rule_of_plateaus(word: Word) -> None:
    verdict = a_verdict(word, since="03-01")
    stretch = verdict.linked_stretch
    assert stretch is not None
    flat = a_stretch("03-01", "02-15", "03-15")
    assert linked(stretch) == linked(flat)
    assert linked(stretch).fault == "elbow-dropped"


@pytest.mark.parametrize("word", [Word.GAINING, Word.UNDECIDED, Word.TOO_EARLY])
def test_nothing_else_has_one(word: Word) -> None:
    assert a_verdict(word).linked_stretch is None
    (part,) = told(a_span(word, "03-01", "06-28", current=True))
    assert part.link is None


def test_a_slip_that_is_over_is_linked_too() -> None:
    slip = a_span(Word.SLIPPING, "2025-11-03", "05-10", rate=-0.6, rate_low=-0.8, rate_high=-0.4)
    assert told(GAINED, slip, AGAIN)[1].link == linked(slip)


def test_what_changed_long_before_or_after_a_restart_is_not_named() -> None:
    late = a_span(Word.GAINING, "04-20", "06-28", current=True)
    assert told(GAINED, FLAT, late)[-1].changes == ()
    flat_again = a_span(Word.PLATEAU, "05-10", "06-28", current=True)
    assert told(GAINED, flat_again)[-1].changes == ()
    assert told(AGAIN)[0].changes == ()


def test_a_day_that_the_engine_names_alone_gets_no_interval() -> None:
    turn = a_span(Word.SLIPPING, "2025-11-03", "06-28", current=True, dated=False)
    assert "began" not in story_lines(told(GAINED, turn), NAMES, AS_OF)[1].split(".")[0]


def test_a_short_record_is_said_without_numbers() -> None:
    early = a_span(Word.TOO_EARLY, "05-19", "06-28", current=True, rate=None, rate_low=None, rate_high=None)
    (part,) = told(early)
    part = StoryPart(StorySpan(**{**vars(early), "p": None}))
    assert story_lines([part], NAMES, AS_OF) == ["Since the first test (19 May): too early to say."]
    assert story_sentence([], NAMES, AS_OF) == ""


def test_undecided_says_what_it_leans_to() -> None:
    open_ = a_span(Word.UNDECIDED, "05-10", "06-28", p=0.51, current=True, leaning=Word.GAINING)
    said = story_sentence(told(GAINED, FLAT, open_), NAMES, AS_OF)
    assert "undecided since about 10 May, perhaps gaining again" in said


@pytest.mark.parametrize("word", list(Word))
def test_a_slip_and_a_slowing_end_in_three_questions(word: Word) -> None:
    assert questions(a_verdict(word)) == (QUESTIONS if word in {Word.SLIPPING, Word.SLOWED} else ())
    assert len(QUESTIONS) == 3
