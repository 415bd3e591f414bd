"""When to test and look again."""

from __future__ import annotations

import datetime as dt

from tests.output.cases import AS_OF
from tracker.faults.due import Due
from tracker.output.due_words import next_look, next_test, short_due


def test_a_date_ahead_a_date_past_and_today_are_told_apart() -> None:
    assert next_test(dt.date(2026, 7, 5), AS_OF) == "Next test: 5 July or sooner."
    assert next_test(AS_OF, AS_OF) == "Next test: today."
    assert next_look(dt.date(2026, 6, 1), AS_OF) == (
        "Next look at technique: due since 1 June (29 days late)."
    )
    assert next_look(None, AS_OF) == ""
    assert "none on record" in next_test(None, AS_OF)


def test_the_roster_shows_only_what_is_due_now() -> None:
    assert short_due(Due(dt.date(2026, 7, 5), None), AS_OF) == ""
    assert short_due(Due(AS_OF, AS_OF), AS_OF) == "test, review"
    assert short_due(Due(None, dt.date(2026, 7, 1)), AS_OF) == "test"


def test_a_test_that_is_held_back_is_neither_dated_nor_asked_for() -> None:
    assert next_test(None, AS_OF, held=True) == "Next test: none for now."
    assert short_due(Due(None, AS_OF, held=True), AS_OF) == "review"
