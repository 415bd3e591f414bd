"""When to test and look again."""

from __future__ import annotations

import datetime as dt

from tests.output.cases import AS_OF
from tracker.output.sentences.next_step import NO_TEST, due_lines, next_look, next_test, no_sets, short_due
from tracker.technique.attention import Due
from tracker.technique.choices import ActiveChoice
from tracker.technique.held_back import HeldBack


def test_a_date_ahead_a_date_past_and_today_are_told_apart() -> None:
    assert next_test(Due(dt.date(2026, 7, 5), None), AS_OF) == "Next test: 5 July or sooner."
    assert next_test(Due(AS_OF, None), AS_OF) == "Next test: today."
    assert next_look(dt.date(2026, 6, 1), AS_OF) == (
        "Next look at technique: due since 1 June (29 days late)."
    )
    assert next_look(None, AS_OF) == ""
    assert "none on record" in next_test(Due(None, None), AS_OF)


def test_the_roster_shows_only_what_is_due_now() -> None:
    assert short_due(Due(dt.date(2026, 7, 5), None), AS_OF) == ""
    assert short_due(Due(AS_OF, AS_OF), AS_OF) == "test, review"
    assert short_due(Due(None, dt.date(2026, 7, 1)), AS_OF) == "test"


def test_a_test_that_is_held_back_is_neither_dated_nor_asked_for() -> None:
    assert next_test(Due(None, AS_OF, held_by=HeldBack(ill=True)), AS_OF) == NO_TEST
    assert short_due(Due(None, AS_OF, held_by=HeldBack(ill=True)), AS_OF) == "review"


def test_a_test_after_a_race_is_dated_with_the_reason() -> None:
    waiting = Due(dt.date(2026, 7, 6), None, race=dt.date(2026, 7, 5), clear_days=14)
    assert next_test(waiting, AS_OF) == (
        "Next test: 6 July; no maximal test within 14 days before the race of 5 July."
    )
    assert short_due(waiting, AS_OF) == ""


def test_a_choice_that_ended_is_asked_for_again_in_one_line() -> None:
    over = ActiveChoice("kick-wide", "left", "", "race\nand more", dt.date(2026, 3, 1), dt.date(2026, 5, 24))
    found = Due(dt.date(2026, 7, 5), AS_OF, over=over)
    assert short_due(found, AS_OF) == "review, choice"
    assert due_lines(found, {"kick-wide": "kick too wide"}, AS_OF) == [
        "Next test: 5 July or sooner.",
        "Next look at technique: today.",
        "Choose again: kick too wide, left, chosen by the coach on 1 March until 24 May (race).",
    ]


def test_a_child_is_told_once_in_four_weeks_and_not_to_test_sooner() -> None:
    child = HeldBack(child=True)
    said = next_test(Due(dt.date(2026, 7, 26), None, held_by=child), AS_OF)
    assert said == "Next test: 26 July, not sooner; under 18 once in four weeks is plenty (common practice)."
    late = next_test(Due(dt.date(2026, 6, 26), None, held_by=child), AS_OF)
    assert late.startswith("Next test: due since 26 June")
    assert "or sooner" not in said + late


def test_hard_sets_are_given_to_nobody_who_is_held_back_and_to_no_child() -> None:
    assert no_sets(Due(None, None)) == ""
    assert "health" in no_sets(Due(None, None, held_by=HeldBack(ill=True)))
    assert "under 18" in no_sets(Due(None, None, held_by=HeldBack(child=True)))
