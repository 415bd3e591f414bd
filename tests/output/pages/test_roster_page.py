"""The coach's summary: who, since when, linked to what, who is due; everybody on the same axes."""

from __future__ import annotations

import datetime as dt
import re
from dataclasses import replace

import pytest

from tests.output.cases import AS_OF, NAMES, link_like
from tests.output.lines import UNTESTED, line_of
from tests.output.pages.reading import reader, squeezed, text_of
from tests.output.seasons import MONTH, STEPS, season_of, verdict_with_points
from tracker.engine.verdict.verdict import Word
from tracker.output.figures.drawing import BLUE
from tracker.output.figures.small_multiples import A_PAGE, shared_axes, small_alt, small_svg
from tracker.output.pages.plain import plain
from tracker.output.pages.roster_page import RosterMonth, roster_page
from tracker.output.pages.typeset import pdf
from tracker.technique.attention import RosterLine
from tracker.technique.fault_timeline import spells


def _month(lines: list[RosterLine], **changes: object) -> RosterMonth:
    month = RosterMonth(MONTH, AS_OF, "", lines, NAMES)
    return replace(month, **changes)


def _section(text: str, heading: str) -> str:
    """Return what stands under a heading of the plain text."""
    found = re.search(rf"^{heading}\n-+\n(.*?)(?=\n\n\S[^\n]*\n-+\n|\Z)", text, re.DOTALL | re.MULTILINE)
    assert found is not None, heading
    return found[1]


def test_plateaus_stand_with_since_duration_certainty_and_link() -> None:
    text = plain(roster_page(_month([season_of().line, UNTESTED]), AS_OF))
    row = _section(text, "On a plateau")
    assert re.search(r"Ines Aalto +11 February +5 months +93 % +late breath, left \(open\)", row)
    assert "Pia Lund" not in row


def test_what_changed_within_the_month_is_named() -> None:
    level, moving = line_of(name="Now Level"), line_of(name="Long Level")
    slipping = line_of(replace(level.verdict, verdict=Word.SLIPPING), None, name="Slides")  # type: ignore[type-var]
    gaining = line_of(replace(level.verdict, verdict=Word.GAINING), None, name="Moves")  # type: ignore[type-var]
    unsure = line_of(replace(level.verdict, verdict=Word.UNDECIDED), None, name="Unsure")  # type: ignore[type-var]
    sure = line_of(name="Now Sure")
    before = {"Now Level": Word.GAINING, "Now Sure": Word.UNDECIDED} | dict.fromkeys(
        ("Long Level", "Slides", "Moves", "Unsure"), Word.PLATEAU
    )
    text = plain(roster_page(_month([level, sure, moving, slipping, gaining, unsure], before=before), AS_OF))
    assert _section(text, "Newly level this month") == "Now Level, Now Sure."
    assert _section(text, "Moving again this month") == "Slides, Moves."
    assert _section(text, "Newly slipping this month") == "Slides."


@pytest.mark.parametrize("before", [{"Ines Aalto": Word.TOO_EARLY}, {}])
def test_an_unknown_before_is_no_news(before: dict[str, Word]) -> None:
    text = plain(roster_page(_month([line_of()], before=before), AS_OF))
    assert _section(text, "Newly level this month") == "Nobody."


def test_faults_are_counted_by_their_present_state() -> None:
    text = plain(roster_page(_month([line_of()], spells={"Ines Aalto": spells(STEPS, AS_OF)}), AS_OF))
    faults = _section(text, "Faults over the roster")
    assert re.search(r"Late breath +1\b", faults)
    assert re.search(r"Kick-wide +1\b", faults)
    assert "ropped elbow" not in faults, "corrected in February, not this month"


def test_due_and_unseen_are_listed() -> None:
    text = plain(roster_page(_month([line_of(), UNTESTED], looked=frozenset({"Ines Aalto"})), AS_OF))
    due = _section(text, "Due")
    assert "A test: nobody." in due
    assert "A look at technique: Ines Aalto, Pia Lund." in due
    assert _section(text, "No look on record") == "Pia Lund."


def test_twelve_charts_a_side_all_on_the_same_axes() -> None:
    lines = [line_of(verdict_with_points(12 + i), name=f"Swimmer {i}") for i in range(A_PAGE + 1)]
    page = roster_page(_month(lines), AS_OF)
    assert len(page.sheets) == 3
    found = reader(pdf(page).content)
    assert len(found.pages) == 3
    text = text_of(pdf(page).content)
    for line in lines:
        assert squeezed(f"■ {line.swimmer}: plateau") in text


def test_a_letter_page_holds_twelve_charts_too() -> None:
    lines = [line_of(verdict_with_points(12 + i), name=f"Swimmer {i}") for i in range(A_PAGE)]
    assert len(reader(pdf(roster_page(_month(lines), AS_OF), "us-letter").content).pages) == 2


def test_the_axes_hold_every_line_and_do_not_bend_to_a_typing_error() -> None:
    season = season_of()
    shared = shared_axes([season.line], AS_OF)
    assert shared.first <= dt.date(2025, 5, 2)
    assert -6 < shared.low < 0
    assert 5 < shared.high < 12
    assert "Ines Aalto: plateau, the line from 1:47.0 to 1:41.3." in small_alt([season.line])
    assert small_svg([season.line], shared) == small_svg([season.line], shared)


def test_a_roster_without_any_test_is_a_page_too() -> None:
    page = roster_page(_month([UNTESTED]), AS_OF)
    assert "Nobody." in plain(page)
    assert len(reader(pdf(page).content).pages) == 2


def test_a_parked_link_says_so() -> None:
    text = plain(roster_page(_month([line_of(link=link_like(state="parked"))]), AS_OF))
    assert "left (parked)" in text


def test_the_first_line_counts_the_verdicts() -> None:
    level = line_of(name="Now Level")
    gaining = line_of(replace(level.verdict, verdict=Word.GAINING), None, name="Moves")  # type: ignore[type-var]
    gaining = replace(gaining, attention=replace(gaining.attention, grounds=("gaining",)))
    untested = replace(UNTESTED, attention=replace(UNTESTED.attention, grounds=("too early",)))
    text = plain(roster_page(_month([level, gaining, untested]), AS_OF))
    said = "1 on a plateau (1 with a fault nobody is working on), 1 gaining and 1 too early to say."
    assert f"Of 3 swimmers: {said}" in " ".join(text.split())


def test_a_small_chart_has_no_line_through_too_few_tests_and_the_caption_says_so() -> None:
    few, many = (
        line_of(verdict_with_points(4), None, name="Few"),
        line_of(verdict_with_points(12), name="Many"),
    )
    text = " ".join(plain(roster_page(_month([few, many]), AS_OF)).split())
    assert "Few: too early, no line yet, the last test at 1:" in text
    assert "Many: plateau, the line from 1:" in text
    why = "Where a chart has no line, the tests or weeks are too few for one, and zero is the first test."
    assert why in text
    assert why not in " ".join(plain(roster_page(_month([many]), AS_OF)).split())
    shared = shared_axes([few, many], AS_OF)
    assert small_svg([few], shared).count(BLUE.lower().encode()) == 0
    assert small_svg([many], shared).count(BLUE.lower().encode()) == 1
