"""When to test and look again."""

from __future__ import annotations

import datetime as dt

import pytest

from tests.output.cases import AS_OF
from tracker.model.event_kinds import EventKind
from tracker.output.sentences.due import NO_TEST, due_lines, next_look, next_test, short_due
from tracker.output.sentences.next_step import no_sets
from tracker.technique.choices import ActiveChoice
from tracker.technique.due import Away, Due
from tracker.technique.held_back import HeldBack
from tracker.technique.rhythm import Rhythm, RhythmFrom


def test_a_date_ahead_a_date_past_and_today_are_told_apart() -> None:
    assert (
        next_test(Due(dt.date(2026, 7, 5), None), AS_OF)
        == "Next test: 5 July; every 7 days, as the settings say."
    )
    assert next_test(Due(AS_OF, None), AS_OF) == "Next test: today; every 7 days, as the settings say."
    assert next_look(Due(None, dt.date(2026, 6, 1)), AS_OF) == (
        "Next look at technique: due since 1 June (29 days late); every 28 days, as the settings say."
    )
    assert next_look(Due(None, None), AS_OF) == ""
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
        "Next test: 6 July, after the race on 5 July; no maximal test within 14 days before a race."
    )
    assert short_due(waiting, AS_OF) == ""


def test_days_away_are_named_with_their_end_or_that_there_is_none() -> None:
    camp = Away(EventKind.CAMP, AS_OF, dt.date(2026, 7, 9))
    back = dt.date(2026, 7, 10)
    assert due_lines(Due(back, back, away=camp), {}, AS_OF) == [
        "Next test: 10 July, after the camp that ends on 9 July.",
        "Next look at technique: 10 July, after the camp that ends on 9 July.",
    ]
    gone = Due(None, None, away=Away(EventKind.LAYOFF, dt.date(2026, 6, 3), None))
    assert next_test(gone, AS_OF) == (
        "Next test: none for now; the lay-off since 3 June has no end on record."
    )
    assert short_due(gone, AS_OF) == ""
    both = Due(back, None, race=dt.date(2026, 7, 3), clear_days=14, away=camp)
    assert next_test(both, AS_OF) == (
        "Next test: 10 July, after the race on 3 July and the camp that ends on 9 July; "
        "no maximal test within 14 days before a race."
    )


@pytest.mark.parametrize(
    ("by", "said"),
    [
        (RhythmFrom.SET, "as is set for this swimmer"),
        (RhythmFrom.HABIT, "as has been usual"),
        (RhythmFrom.GROUP, "as is usual in the group"),
        (RhythmFrom.LONGEST, "at the latest; the usual gap is longer"),
    ],
)
def test_a_sentence_says_why_that_day(by: RhythmFrom, said: str) -> None:
    found = next_test(Due(dt.date(2026, 7, 5), None, test_every=Rhythm(30, by)), AS_OF)
    assert found.startswith("Next test: 5 July; every 30 days")
    assert found.endswith(f"{said}.")


def test_whom_nobody_ever_looked_at_is_not_told_how_many_days_late_that_is() -> None:
    never = Due(None, dt.date(2025, 2, 4), unseen=True)
    assert next_look(never, AS_OF) == "Next look at technique: due; nobody has looked yet."


def test_a_choice_that_ended_is_asked_for_again_in_one_line() -> None:
    over = ActiveChoice("kick-wide", "left", "", "race\nand more", dt.date(2026, 3, 1), dt.date(2026, 5, 24))
    found = Due(dt.date(2026, 7, 5), AS_OF, over=over)
    assert short_due(found, AS_OF) == "review, choice"
    assert due_lines(found, {"kick-wide": "kick too wide"}, AS_OF) == [
        "Next test: 5 July; every 7 days, as the settings say.",
        "Next look at technique: today; every 28 days, as the settings say.",
        "Choose again: kick too wide, left, chosen by the coach on 1 March until 24 May (race).",
    ]


def test_a_child_is_told_once_in_four_weeks_and_not_to_test_sooner() -> None:
    child, every = HeldBack(child=True), Rhythm(28, RhythmFrom.AGE)
    said = next_test(Due(dt.date(2026, 7, 26), None, held_by=child, test_every=every), AS_OF)
    assert said == "Next test: 26 July, not sooner; under 18 once in four weeks is plenty (common practice)."
    late = next_test(Due(dt.date(2026, 6, 26), None, held_by=child, test_every=every), AS_OF)
    assert late.startswith("Next test: due since 26 June")
    assert "or sooner" not in said + late


def test_hard_sets_are_given_to_nobody_who_is_held_back_and_to_no_child() -> None:
    assert no_sets(Due(None, None)) == ""
    assert "health" in no_sets(Due(None, None, held_by=HeldBack(ill=True)))
    assert "under 18" in no_sets(Due(None, None, held_by=HeldBack(child=True)))
