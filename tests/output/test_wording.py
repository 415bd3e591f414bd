"""The sentences a reader sees: exact where scripts and coaches know one, lawful everywhere else."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.output.cases import AS_OF, verdict_like
from tests.output.lines import UNTESTED, line_of
from tracker.engine.series.left_out import LeftOut, LeftOutReason
from tracker.engine.verdict.verdict import FewTests, Leaning, MonthAgo, NotSure, ShortRecord, Verdict, Word
from tracker.output.sentences.numbers import (
    between,
    day,
    in_seconds,
    number,
    rate_words,
    span,
    sure,
    threshold,
)
from tracker.output.sentences.two_dates import two_dates
from tracker.output.sentences.verdict import (
    data_line,
    headline,
    in_other_words,
    line_headline,
    mark,
    mark_of,
    missing,
    word,
)

WORDS = tuple(Word)


def test_a_plateau_is_said_with_onset_interval_margin_and_certainty() -> None:
    assert headline(verdict_like()) == (
        "On a plateau since about 11 February (20 January to 4 March): "
        "no change beyond the margin of 0.25 % a month; 93 % sure."
    )


def test_gaining_and_slipping_say_the_rate_with_its_interval() -> None:
    gaining = verdict_like(verdict="gaining", p_gaining=0.97, rate=0.61, rate_low=0.42, rate_high=0.8)
    assert headline(gaining).endswith(": 0.61 % a month faster (0.42 to 0.80); 97 % sure.")
    slipping = verdict_like(verdict="slipping", p_slipping=0.9, rate=-0.5, rate_low=-0.8, rate_high=-0.3)
    assert headline(slipping).endswith(": 0.50 % a month slower (0.30 to 0.80); 90 % sure.")


def test_slowed_says_how_sure_the_slowing_is_not_the_class() -> None:
    said = headline(verdict_like(verdict="slowed", p_slowed=0.88, rate=0.2, rate_low=0.05, rate_high=0.4))
    assert "88 % sure that this is a lower rate than before" in said


def test_a_stretch_older_than_the_record_claims_no_onset() -> None:
    said = headline(verdict_like(before_record=True, since=dt.date(2025, 5, 2), since_low=None))
    assert "since before the first test (2 May 2025)" in said
    assert "about" not in said


def test_too_early_says_what_is_missing() -> None:
    reasons = (
        FewTests(3, 8),
        ShortRecord(7.3, 10),
    )
    said = headline(verdict_like(verdict="too early", tests=3, reasons=reasons))
    assert said == ("Too early to say: 3 of the 8 tests and 7 of the 10 weeks that a verdict needs.")


def undecided_like(**changes: Any) -> Verdict:
    """Return a verdict that leans to a plateau with 60 %, not yet enough."""
    given: dict[str, Any] = {
        "verdict": "undecided",
        "p_gaining": 0.3,
        "p_flat": 0.6,
        "p_slipping": 0.1,
        "held_since": None,
        "leaning": Leaning(Word.PLATEAU, 0.6),
        "reasons": (NotSure(Word.PLATEAU, 0.6, 0.75),),
        "tests_to_tell": 6,
        "known_by": dt.date(2026, 8, 9),
    }
    return verdict_like(**given | changes)


def test_undecided_says_what_it_leans_to_and_what_it_lacks() -> None:
    assert headline(undecided_like()) == (
        "Undecided, leaning to a plateau (60 %): above the margin 30 %, inside it 60 %, below it 10 %, and "
        "none is sure enough yet; about 6 more tests may tell."
    )
    close = undecided_like(leaning=Leaning(Word.GAINING, 0.51), p_gaining=0.51, p_flat=0.46, p_slipping=0.03)
    assert headline(close).startswith("Undecided, as likely gaining as flat: above the margin 51 %, ")
    falling = undecided_like(leaning=Leaning(Word.PLATEAU, 0.5), p_gaining=0.09, p_flat=0.5, p_slipping=0.41)
    assert headline(falling).startswith("Undecided, as likely flat as slipping: ")
    apart = undecided_like(leaning=Leaning(Word.GAINING, 0.53), p_gaining=0.53, p_flat=0.42, p_slipping=0.05)
    assert headline(apart).startswith("Undecided, leaning to gaining (53 %): ")
    assert "over a year" in missing(undecided_like(tests_to_tell=None, known_by=None))


def test_two_dates_say_what_was_and_what_is() -> None:
    then = MonthAgo(dt.date(2026, 5, 29), Word.GAINING, 0.93, 0.05, 0.02)
    assert two_dates(verdict_like()) == (
        "Until about 29 May: on a plateau, 92 % sure; at the last test: on a plateau, 93 % sure."
    )
    assert two_dates(undecided_like(month_ago=then)) == (
        "Until about 29 May: gaining, 93 % sure; at the last test: undecided, leaning to a plateau (60 %), "
        "and a word is more likely than not by about 9 August."
    )
    assert "the next test may tell" in two_dates(undecided_like(tests_to_tell=0))
    assert "over a year" in two_dates(undecided_like(tests_to_tell=None, known_by=None))


def test_a_month_ago_of_which_nobody_is_sure_names_the_likeliest() -> None:
    then = MonthAgo(dt.date(2026, 5, 29), Word.UNDECIDED, 0.52, 0.4, 0.08)
    assert two_dates(verdict_like(month_ago=then)).startswith(
        "Until about 29 May: not sure, gaining the likeliest (52 %); at the last test: "
    )


def test_too_short_a_record_has_no_two_dates() -> None:
    assert two_dates(verdict_like(verdict="too early", reasons=(FewTests(3, 8),))) == ""
    assert two_dates(None) == ""


def test_what_is_below_the_cut_is_not_rounded_up_to_it() -> None:
    early = verdict_like(
        verdict="undecided",
        p_gaining=0.1,
        p_flat=0.7985,
        p_slipping=0.1015,
        reasons=(NotSure(Word.PLATEAU, 0.7985, 0.8),),
        tests_to_tell=0,
    )
    assert missing(early) == (
        "above the margin 10 %, inside it 79 %, below it 10 %, and none is sure enough yet; "
        "the next test may tell"
    )


@given(st.floats(0, 1), st.integers(50, 99).map(lambda percent: percent / 100))
def test_a_probability_is_shown_on_its_own_side_of_the_cut(probability: float, cut: float) -> None:
    shown = 100 * cut
    assert threshold(cut) == f"{shown:.0f} %"
    said = sure(probability, cut)
    whole = float(said.removeprefix("over ").removeprefix("under ").removesuffix(" %"))
    assert (round(whole) >= round(shown)) is (probability >= cut)


def test_a_cut_between_two_whole_percents_keeps_its_digits() -> None:
    assert threshold(0.805) == "80.5 %"
    assert sure(0.8049, 0.805) == "80 %"


def test_a_stale_verdict_says_as_of_when() -> None:
    said = headline(verdict_like(stale=True, last=dt.date(2026, 4, 1)))
    assert said.endswith("This stands as of the last test, 1 April, 90 days ago.")


def test_no_tests_is_a_sentence_too() -> None:
    assert line_headline(UNTESTED) == "No tests on record yet."
    assert word(UNTESTED) == "no tests"
    assert mark(None) == mark_of(Word.TOO_EARLY)
    assert in_other_words(None)
    assert data_line(None, AS_OF)


def test_swims_that_are_all_too_easy_are_too_early_with_the_reason() -> None:
    easy = replace(UNTESTED, left_out=(LeftOut(UNTESTED.swimmer, AS_OF, LeftOutReason.EASY),))
    kit = replace(UNTESTED, left_out=(LeftOut(UNTESTED.swimmer, AS_OF, LeftOutReason.KIT),))
    assert line_headline(easy) == (
        "Too early to say: the effort was always below 8; swim a test at effort 9 or 10."
    )
    assert word(easy) == easy.word == Word.TOO_EARLY
    assert (word(kit), kit.word) == ("no tests", None)
    judged = line_of()
    assert judged.verdict is not None
    assert line_headline(judged) == headline(judged.verdict)


@pytest.mark.parametrize("spoken", WORDS)
def test_every_word_has_a_mark_of_its_own_and_never_denies_progress(spoken: Word) -> None:
    assert len(set(map(mark_of, Word))) == len(Word)
    verdict = verdict_like(verdict=spoken)
    for said in (headline(verdict), in_other_words(verdict)):
        assert "no progress" not in said
        assert "because" not in said
        assert said.endswith(".")


def test_a_plateau_in_other_words_is_as_sure_as_the_headline() -> None:
    """82 % sure of a rate inside the margin is no proof that pace moved by less than that."""
    said = in_other_words(verdict_like(p_flat=0.82, rate=-0.19, rate_low=-0.65, rate_high=0.29))
    assert said == (
        "Pace seems to have held level: it is likely (82 %) to have moved by less than the tests are "
        "asked to show, 0.3 s per 100 m in a month."
    )


def test_a_year_is_written_only_where_it_differs() -> None:
    assert day(dt.date(2026, 2, 11), AS_OF) == "11 February"
    assert day(dt.date(2025, 2, 11), AS_OF) == "11 February 2025"
    assert between(None, dt.date(2026, 3, 4), AS_OF) == "before the record to 4 March"
    assert span(dt.date(2026, 2, 3), dt.date(2026, 2, 12), AS_OF) == "3 to 12 February"
    assert span(dt.date(2026, 2, 3), None, AS_OF) == "since 3 February"


@pytest.mark.parametrize(
    ("probability", "said"), [(1.0, "over 99 %"), (0.996, "over 99 %"), (0.0, "under 1 %"), (0.93, "93 %")]
)
def test_nothing_is_certain_or_impossible(probability: float, said: str) -> None:
    assert sure(probability) == said


@given(st.floats(-5, 5), st.floats(0, 3), st.floats(0, 3))
def test_a_rate_has_no_minus_and_names_its_direction(rate: float, below: float, above: float) -> None:
    said = rate_words(rate, rate - below, rate + above)
    assert "-" not in said
    if abs(rate) >= 0.005:
        assert ("faster" if rate > 0 else "slower") in said.split("(", maxsplit=1)[0]


def test_an_interval_over_zero_names_both_directions() -> None:
    assert rate_words(0.02, -0.11, 0.14) == "0.02 % a month faster (0.11 slower to 0.14 faster)"


def test_small_numbers_keep_their_digits() -> None:
    assert in_seconds(0.02, 100) == "0.02 s per 100 m"
    assert in_seconds(0.25, 101.4) == "0.3 s per 100 m"
    assert number(-0.001) == "0"
    assert number(0.25) == "0.25"


def test_the_data_line_names_the_scale_only_where_there_is_one() -> None:
    assert data_line(verdict_like(), AS_OF) == (
        "54 test days from 2 May 2025 to 28 June 2026, on the scale of 400 m SCM."
    )
    bare: Verdict = verdict_like(reference="")
    assert "scale" not in data_line(bare, AS_OF)


def test_tests_of_one_day_are_on_it() -> None:
    one = verdict_like(tests=1, first=AS_OF, last=AS_OF, reference="")
    assert data_line(one, AS_OF) == "1 test day, 30 June 2026."
