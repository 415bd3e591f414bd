"""Flat stretches: text, page and screen tell of the same ones, in one wording."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace

import pytest

from tests.output.cases import AS_OF, LINK, NAMES, PLATEAU, verdict_like
from tests.output.lines import line_of
from tests.output.seasons import season_of
from tracker.app.explain import SwimmerView
from tracker.engine.verdict.verdict import FlatStretch, Verdict, Word
from tracker.model.swimmer import Swimmer
from tracker.output.figures.alt_text import joint_alt, joint_caption
from tracker.output.figures.joint import JointChart, joint_svg
from tracker.output.pages.front import chart_of
from tracker.output.pages.swimmer_page import swimmer_page
from tracker.output.sentences.verdict import shown_stretches, stretch_words
from tracker.output.why_text import why_sections
from tracker.tui.drawing.picture import picture_of

PRESENT = PLATEAU.flat_stretches[0]
OVER = FlatStretch(
    dt.date(2025, 8, 4),
    dt.date(2025, 10, 20),
    None,
    dt.date(2025, 9, 1),
    dt.date(2025, 10, 1),
    dt.date(2025, 11, 9),
    current=False,
)


def _chart(verdict: Verdict) -> JointChart:
    season = season_of()
    assert season.line.verdict is not None
    drawn = replace(verdict, points=season.line.verdict.points, curve=season.line.verdict.curve)
    chart = chart_of(replace(season, line=replace(season.line, verdict=drawn)))
    assert chart is not None
    return chart


def _why(verdict: Verdict) -> list[str]:
    sections = why_sections(line_of(verdict, LINK), (), (), (), names=NAMES, as_of=AS_OF)
    return dict(sections).get("Flat stretches", [])


@pytest.mark.parametrize("word", ["plateau", "too early", "undecided", "slowed", "gaining"])
def test_text_screen_and_page_tell_of_the_present_stretch_only_on_a_plateau(word: Word) -> None:
    """Gaining 52 %, inside the margin 47 %: a stretch that goes on to now is no fact."""
    verdict = verdict_like(verdict=word, flat_stretches=(OVER, PRESENT))
    told = (OVER, PRESENT) if word == "plateau" else (OVER,)
    assert shown_stretches(verdict) == told
    view = SwimmerView(
        Swimmer(swimmer="Ines Aalto"), line_of(verdict, LINK), (), (), (), (), (), (), (), (), (), ()
    )
    assert picture_of(view, AS_OF).flats == told
    assert [said.split(":")[0] for said in _why(verdict)] == [
        "4 August 2025 to 20 October 2025",
        "11 February to 28 June",
    ][: len(told)]
    chart = _chart(verdict)
    assert joint_alt(chart).count("Level from") == len(told)
    assert (b"level since about" in joint_svg(chart)) is (word == "plateau")


def test_without_a_stretch_to_tell_of_nothing_is_called_grey() -> None:
    verdict = verdict_like(verdict="too early")
    assert _why(verdict) == []
    assert "Grey" not in joint_caption(_chart(verdict))


def test_a_stretch_has_one_onset_on_both_sides_of_the_page() -> None:
    """Its interval may reach back before the record, yet its onset is still a day of it."""
    season = season_of()
    assert season.line.verdict is not None
    verdict = replace(season.line.verdict, flat_stretches=(OVER, PRESENT))
    line = replace(season.line, verdict=verdict, stretch_links=(LINK, LINK))
    said = swimmer_page(replace(season, line=line), AS_OF)
    words = (
        "Level from about 4 August 2025 (before the record to 1 September 2025) to about "
        "20 October 2025 (1 October 2025 to 9 November 2025)."
    )
    assert stretch_words(OVER, verdict) == words
    assert sum(words in text for text in said.texts()) == 2
    assert not any("start of the record" in text for text in said.texts())


def test_a_stretch_from_the_first_test_on_claims_no_onset() -> None:
    stretch = replace(OVER, start=PLATEAU.first)
    assert stretch_words(stretch, PLATEAU).startswith(
        "Level from before the first test (2 May 2025) to about"
    )
