"""The link in words: graded, with its confounders, and never as a cause."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace

import pytest

from tests.output.cases import AS_OF, LINK, NAMES, PLATEAU, link_like
from tests.output.lines import line_of
from tracker.model.event_kinds import HEALTH_KINDS, EventKind
from tracker.output.sentences.link import (
    NO_FAULT,
    confounder_words,
    grade_words,
    link_lines,
    link_sentence,
    short_link,
)
from tracker.output.why_text import why_sections
from tracker.technique.due import Due
from tracker.technique.link import Candidate, Confounder, Evidence, Finding, Link
from tracker.tui.drawing.roster_rows import link_cell


def test_a_link_names_fault_side_state_and_since_when() -> None:
    assert link_lines(LINK, NAMES, AS_OF) == [
        "Left uncorrected when it began: late breath, left (open; on record since 30 January, 151 days).",
        "Evidence: coincides in time, no more.",
        "Also uncorrected then: hand leaves early, left (in work).",
        "Also near the onset: a lay-off (3 to 12 February).",
    ]


def test_a_corrected_fault_says_how_long_it_was_open() -> None:
    link = link_like(state_now="corrected", days_open=70)
    assert "(open then, corrected now; on record since 30 January, 70 days until it was corrected)" in (
        link_sentence(link, NAMES, AS_OF)
    )


def test_a_fault_first_seen_after_the_likeliest_onset_is_not_said_to_have_been_open_then() -> None:
    """It counts, for the onset's interval reaches past the day it was seen; but nobody saw it before."""
    late = link_like(
        began=dt.date(2026, 1, 19), opened=dt.date(2026, 4, 20), state_now="in work", days_open=71
    )
    assert link_sentence(late, NAMES, AS_OF) == (
        "Left uncorrected when it may have begun: late breath, left (open when seen, in work "
        "now; first seen 20 April, one of the days on which the stretch may have begun; uncorrected for 71 "
        "days)."
    )
    assert short_link(late) == "breath-late:left (open when seen, in work now)"
    assert "; seen again 20 April, one of the days" in link_sentence(
        replace(late, state="back"), NAMES, AS_OF
    )
    parked = link_sentence(replace(late, state="parked"), NAMES, AS_OF)
    assert parked.startswith("Nothing else was uncorrected when it may have begun. Left on purpose: ")
    on_the_day = replace(late, opened=late.began)
    assert "(open then, in work now; on record since 19 January" in link_sentence(on_the_day, NAMES, AS_OF)


def test_another_candidate_seen_late_says_so_too() -> None:
    other = Candidate("exit-early", "left", "open", dt.date(2026, 4, 2), 2)
    link = link_like(began=dt.date(2026, 1, 19), opened=dt.date(2026, 4, 20), also=(other,))
    assert "Also uncorrected then: hand leaves early, left (open, seen 2 April)." in link_lines(
        link, NAMES, AS_OF
    )


def test_a_parked_fault_is_shown_as_parked() -> None:
    assert "parked" in link_sentence(link_like(state="parked"), NAMES, AS_OF)
    assert short_link(link_like(state="parked")) == "breath-late:left (parked)"


def test_a_cell_says_where_a_fault_stands_now() -> None:
    """Else a table calls open what has been worked on or corrected since."""
    assert short_link(link_like(state_now="in work")) == "breath-late:left (open then, in work now)"
    assert short_link(link_like(state_now="open")) == "breath-late:left (open)"
    assert link_cell(link_like(state_now="in work")).endswith(" in work")


def test_a_fault_seen_later_is_said_to_be_seen_after_it_began() -> None:
    assert "Seen after it began" in link_sentence(link_like(how="during"), NAMES, AS_OF)
    assert "seen after it began" in short_link(link_like(how="during"))


def test_without_a_fault_a_review_is_due() -> None:
    none = Link(how="none", evidence="none")
    assert link_lines(none, NAMES, AS_OF) == [NO_FAULT, "Nothing else is on record near the onset."]
    assert NO_FAULT == "No uncorrected fault on record; a review is due."


def test_hearsay_is_listed() -> None:
    said = link_like(said_corrected=(Candidate("kick-wide", "", "said to be corrected", AS_OF, None),))
    assert "Said to be corrected, seen by no reviewer: kick-wide." in link_lines(said, NAMES, AS_OF)


@pytest.mark.parametrize("grade", [grade for grade in Evidence if grade != "none"])
def test_every_grade_has_words_and_none_says_because(grade: Evidence) -> None:
    assert grade_words(grade)
    for line in link_lines(link_like(evidence=grade), NAMES, AS_OF):
        assert "because" not in line.lower()
        assert "cause" not in line.lower()


def test_a_break_is_named_with_its_days_alone() -> None:
    ill = Confounder(Finding.BREAK, dt.date(2026, 2, 3), dt.date(2026, 2, 12))
    assert confounder_words(ill, AS_OF) == "a break (3 to 12 February)"


def test_every_kind_of_event_can_be_a_confounder_and_health_only_as_a_break() -> None:
    for what in (*(set(EventKind) - HEALTH_KINDS), *Finding):
        assert confounder_words(Confounder(what), AS_OF) == what.about.plain


def test_a_stretch_that_is_over_asks_for_no_review() -> None:
    none = Link(how="none", evidence="none")
    assert link_lines(none, NAMES, AS_OF, look_due=False)[0] == "No uncorrected fault was on record."


@pytest.mark.parametrize(
    ("review", "current", "says"),
    [
        (AS_OF, True, True),
        (AS_OF, False, False),
        (AS_OF + dt.timedelta(days=1), True, False),
        (None, True, False),
    ],
)
def test_why_asks_for_a_review_only_where_one_is_due(
    review: dt.date | None, current: bool, says: bool
) -> None:
    """A line of an old stretch, or right after a look, must not contradict "Next look at technique"."""
    stretch = replace(PLATEAU.flat_stretches[0], current=current)
    none = Link(how="none", evidence="none")
    line = line_of(replace(PLATEAU, flat_stretches=(stretch,)), none)
    line = replace(line, due=Due(AS_OF, review), link=none if current else None)
    told = [said for _, lines in why_sections(line, (), (), (), names=NAMES, as_of=AS_OF) for said in lines]
    assert any("a review is due" in said for said in told) is says
    assert any("o uncorrected fault" in said for said in told)
