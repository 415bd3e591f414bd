"""When to test and look again."""

from __future__ import annotations

import datetime as dt

from tests.output.cases import AS_OF
from tracker.output.sentences.next_step import NO_TEST, due_lines, next_look, next_test, short_due
from tracker.technique.attention import Due
from tracker.technique.choices import ActiveChoice


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
    assert next_test(Due(None, AS_OF, held=True), AS_OF) == NO_TEST
    assert short_due(Due(None, AS_OF, held=True), AS_OF) == "review"


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
