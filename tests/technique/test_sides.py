"""Left and right of one fault are one line of the next step, not two faults that compete."""

from __future__ import annotations

from tests.technique.build import day
from tests.technique.test_next_step import a_choice, a_work, proposed, why_left
from tracker.model.catalogue import catalogue
from tracker.output.sentences.next_step import next_lines
from tracker.technique.next_step import LeftForNow, NextStep, Proposal

NAMES = {entry.slug: entry.name for entry in catalogue()}
BOTH = ("02-10 open entry-crossing/left 3", "02-20 open entry-crossing/right 1")


def said(step: NextStep) -> list[str]:
    return next_lines(step, NAMES, day("06-30"))


def sides(step: NextStep) -> list[list[str]]:
    lines: list[Proposal | LeftForNow] = [*(one for one in (step.first, step.second) if one), *step.leave]
    return [sorted([line.side, *(other.side for other in line.others)]) for line in lines]


def test_both_sides_to_work_on_are_one_line_that_says_how_each_stands() -> None:
    step = proposed(*BOTH)
    assert sides(step) == [["left", "right"]]
    assert (
        "Work on: hand crosses at entry, left and right (left: open, severity 3; right: open, severity 1)."
        in (said(step))
    )


def test_both_sides_alike_are_said_once() -> None:
    lines = [line.replace(" 3", " 2").replace(" 1", " 2") for line in BOTH]
    assert "Work on: hand crosses at entry, left and right (open, severity 2)." in said(proposed(*lines))


def test_both_sides_to_leave_are_one_line() -> None:
    step = proposed(
        "02-10 open elbow-dropped 3", "2025-01-10 open kick-wide/left 1", "2025-01-10 open kick-wide/right 1"
    )
    assert sides(step) == [[""], ["left", "right"]]
    assert "Leave: kick too wide, left and right (open): one thing at a time." in said(step)


def test_a_choice_of_one_side_does_not_leave_the_other_beside_it() -> None:
    """ "Work on right; leave left: one thing at a time" of one fault is no advice."""
    step = proposed(
        *BOTH, choices=[a_choice("choose", "entry-crossing", side="right", reason="it is the weak one")]
    )
    assert step.first is not None
    assert step.first.side == "right"
    assert sides(step) == [["left", "right"]]


def test_a_side_that_is_parked_stays_a_line_of_its_own() -> None:
    step = proposed(*BOTH, "06-10 parked entry-crossing/right: one arm first")
    assert sides(step) == [["left"], ["right"]]
    assert why_left(step) == {"entry-crossing": "parked"}


def test_a_draw_holds_for_both_sides_of_what_was_uncorrected_that_day() -> None:
    later = a_choice("stagger", "entry-crossing", "06-15", side="left", value="later")
    step = proposed(BOTH[0].replace(" 3", " 2"), BOTH[1], choices=[later])
    assert step.first is None
    assert sides(step) == [["left", "right"]]


def test_all_left_counts_faults_and_not_sides() -> None:
    step = proposed(
        *BOTH, "06-10 parked entry-crossing/left: later", "06-10 parked entry-crossing/right: later"
    )
    assert step.first is None
    assert sides(step) == [["left", "right"]]
    assert "Nothing to work on now: 1 fault on record, left on purpose or for later." in said(step)


def test_a_drill_against_the_other_side_is_not_said_to_feed_it() -> None:
    step = proposed(*BOTH, work=[a_work("wide entry", "entry-crossing", kind="drill")])
    assert step.first is not None
    assert step.first.drill == "wide entry"
