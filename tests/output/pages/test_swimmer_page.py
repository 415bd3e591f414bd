"""The swimmer's page: fits, can be read back, says what the screen says, says nothing it must not."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace
from html import unescape

import pytest

from tests.output.cases import AS_OF
from tests.output.pages.reading import reader, squeezed, text_of
from tests.output.seasons import renamed, season_of
from tracker.engine.verdict.age import age_yardstick
from tracker.engine.verdict.to_come import PaceForecast, Target
from tracker.model.swimmer import Swimmer
from tracker.output.glyphs import BOX
from tracker.output.pages.page import Chart, Page
from tracker.output.pages.plain import plain
from tracker.output.pages.rendering import PageOptions, make
from tracker.output.pages.swimmer_page import readers, swimmer_page
from tracker.output.pages.typeset import pdf
from tracker.output.pages.web import web
from tracker.output.sentences.age import age_line
from tracker.output.sentences.link import link_lines
from tracker.output.sentences.people import figures
from tracker.output.sentences.verdict import headline
from tracker.settings import Settings
from tracker.technique.due import Due
from tracker.technique.next_reasons import Parked, Severity
from tracker.technique.next_step import LeftForNow, NextStep, Proposal

LONG = "Maximiliane-Konstantina Ekaterini Oberhuber-Weissenfels y Sáez"
SIZES = {"a4": (595.28, 841.89), "us-letter": (612.0, 792.0)}


@pytest.mark.parametrize("paper", ["a4", "us-letter"])
@pytest.mark.parametrize("tests", [0, 1, 3, 54, 500])
def test_it_fits_its_paper_with_any_number_of_tests(tests: int, paper: str) -> None:
    page = swimmer_page(season_of(tests, name=LONG), AS_OF)
    found = reader(pdf(page, paper).content)
    assert len(found.pages) == len(page.sheets)
    box = found.pages[0].mediabox
    assert (float(box.width), float(box.height)) == pytest.approx(SIZES[paper], abs=0.5)


def test_every_text_of_the_page_can_be_read_back_from_paper() -> None:
    page = swimmer_page(season_of(), AS_OF)
    found = text_of(pdf(page).content)
    in_charts = {
        block.alt
        for sheet in page.sheets
        for s in sheet.sections
        for block in s.blocks
        if isinstance(block, Chart)
    }
    for text in page.texts():
        if text not in in_charts and text not in {page.title, page.author}:
            assert squeezed(text) in found, text


def test_twins_say_the_same_sentences() -> None:
    page = swimmer_page(season_of(), AS_OF)
    text = squeezed(plain(page))
    html = squeezed(unescape(web(page)))
    for said in page.texts():
        if said != page.title:
            assert squeezed(said) in text or said == page.author, said
        assert squeezed(said) in html, said


def test_the_verdict_and_the_link_are_the_screens_sentences() -> None:
    season = season_of()
    said = list(swimmer_page(season, AS_OF).texts())
    assert headline(season.line.verdict) in said
    assert " ".join(link_lines(season.line.link, season.names, AS_OF)) in said


def test_tags_language_title_and_alternative_text_are_there() -> None:
    page = swimmer_page(season_of(), AS_OF)
    found = reader(pdf(page).content)
    root = found.trailer["/Root"]
    assert root["/MarkInfo"]["/Marked"] == True  # noqa: E712 - a PDF boolean object
    assert str(root["/Lang"]).startswith("en")
    assert root["/ViewerPreferences"]["/DisplayDocTitle"] == True  # noqa: E712
    assert "/StructTreeRoot" in root
    assert found.metadata is not None
    assert found.metadata.title == "Ines Aalto, June 2026"
    assert found.metadata.author == "morning"
    assert sorted(chart.alt for chart in _charts(page)) == sorted(_alts(found))


def _charts(page: Page) -> list[Chart]:
    sections = [section for sheet in page.sheets for section in sheet.sections]
    return [block for section in sections for block in section.blocks if isinstance(block, Chart)]


def _alts(found: object) -> list[str]:
    """Return every alternative text of the structure tree."""
    alts: list[str] = []
    waiting = [found.trailer["/Root"]["/StructTreeRoot"]]  # type: ignore[attr-defined]
    while waiting:
        node = waiting.pop()
        node = node.get_object() if hasattr(node, "get_object") else node
        if isinstance(node, dict):
            if "/Alt" in node:
                alts.append(str(node["/Alt"]))
            if "/K" in node:
                waiting.append(node["/K"])
        elif isinstance(node, list):
            waiting.extend(node)
    return alts


def test_the_same_data_and_date_give_the_same_bytes() -> None:
    order = PageOptions(("pdf", "txt", "html"), AS_OF)
    first, second = make(season_of(), order), make(season_of(), order)
    assert first.files == second.files
    later = make(season_of(), PageOptions(("pdf",), AS_OF + dt.timedelta(days=1)))
    assert later.files["pdf"] != first.files["pdf"]


HOSTILE = (
    "$$",
    r"$\input{/var/ebb}$",
    "Mo$li",
    "$x",
    "a_b^c",
    r"\alpha",
    "#eval(1) [x] @y",
    "= Ana",
    '<b>Ana</b> & "co"',
    "Đặng Tâm Lăn",
    "Ελένη Παπαδοπούλου",
    "Дарья Ким",
    "שלום",
)


QUICK = {"$$", "#eval(1) [x] @y", "שלום"}


@pytest.mark.parametrize(
    "name",
    [pytest.param(name, marks=() if name in QUICK else pytest.mark.thorough) for name in HOSTILE],
)
def test_a_name_is_letters_on_paper(name: str) -> None:
    season = renamed(season_of(3), name)
    made = make(season, PageOptions(("pdf", "txt", "html"), AS_OF))
    assert made.failures == ()
    right_to_left = any("\u0590" <= letter <= "\u08ff" for letter in name)
    found = text_of(made.files["pdf"])
    assert squeezed(name) in found or (right_to_left and squeezed(name)[::-1] in found)
    assert name in made.files["txt"].decode()


def test_a_name_from_a_foreign_hand_is_cleaned() -> None:
    made = make(renamed(season_of(0), "x\ny\ud800\u202eAna"), PageOptions(("pdf", "txt", "html"), AS_OF))
    assert made.failures == ()
    assert "\N{REPLACEMENT CHARACTER}" in made.files["txt"].decode()
    assert "\u202e" not in made.files["html"].decode()


def test_a_letter_that_no_font_has_is_a_box_and_named() -> None:
    name = "\N{SWIMMER}\u200d\N{FEMALE SIGN}\ufe0f Ana"
    made = make(renamed(season_of(0), name), PageOptions(("pdf", "txt"), AS_OF))
    assert list(made.files) == ["pdf", "txt"]
    assert made.failures == ()
    assert made.boxed == ("\N{SWIMMER}",)
    assert f"{BOX}\N{FEMALE SIGN}Ana" in text_of(made.files["pdf"])
    assert reader(made.files["pdf"]).metadata.title.startswith(name)
    assert name in made.files["txt"].decode()


def test_private_mode_keeps_the_name_out_of_title_and_metadata() -> None:
    season = replace(season_of(), settings=Settings(private=True))
    found = reader(pdf(swimmer_page(season, AS_OF)).content)
    assert found.metadata is not None
    assert "Ines" not in str(dict(found.metadata))


def test_nothing_about_health_stands_on_a_page_unless_switched_on() -> None:
    order = PageOptions(("txt", "html"), AS_OF)
    silent = make(season_of(), order)
    assert b"injury" not in silent.files["txt"]
    assert b"shoulder" not in silent.files["html"]
    on = make(season_of(settings=Settings(health=True)), order)
    assert b"injury" in on.files["txt"]
    assert b"shoulder" not in on.files["txt"]


def test_a_minors_page_is_for_a_parent_too() -> None:
    season = season_of()
    young = Swimmer(swimmer="Ines Aalto", born=2010)
    assert "parent or guardian" in readers(replace(season, swimmer=young))
    assert "parent" not in readers(season)


@pytest.mark.parametrize(("years", "in_front"), [(14.5, False), (60.5, True)])
def test_growth_is_told_to_the_coach_behind_and_the_loss_in_front_too(years: float, in_front: bool) -> None:
    season = season_of()
    verdict = season.line.verdict
    assert verdict is not None
    rate = (verdict.rate_low, verdict.rate, verdict.rate_high)
    age = age_yardstick(rate, int(verdict.last.year - years), "", verdict.last)
    page = swimmer_page(replace(season, line=replace(season.line, age=age)), AS_OF)
    front, back = (plain(replace(page, sheets=(sheet,))) for sheet in page.sheets)
    said = squeezed(age_line(age))
    assert said
    assert said in squeezed(back)
    assert (said in squeezed(front)) is in_front
    assert len(reader(pdf(page).content).pages) == 2


def test_the_footer_says_data_method_readers_day_and_gives_no_advice() -> None:
    said = " ".join(swimmer_page(season_of(), AS_OF).footer)
    for part in (
        "Data up to 28 June 2026",
        "54 test days",
        "Method:",
        "coach only",
        "Made on 30 June 2026",
        "No advice on health.",
    ):
        assert part in said
    assert "page1of1" in text_of(pdf(swimmer_page(season_of(0), AS_OF)).content)


def test_the_page_says_never_because_and_never_no_progress() -> None:
    text = plain(swimmer_page(season_of(), AS_OF)).lower()
    assert "because" not in text
    assert "no progress" not in text


STEP = NextStep(
    first=Proposal(
        fault="breath-late",
        side="left",
        state="in work",
        severity=3,
        cue="face back before the hand",
        drill="side kick to the left",
        stop=(),
        reasons=(Severity(3),),
    ),
    second=None,
    leave=(LeftForNow("kick-wide", "", "parked", Parked("later", dt.date(2025, 9, 1))),),
    due=Due(dt.date(2026, 7, 5), dt.date(2026, 7, 10)),
    reasons=(),
    cautions=("maximal-test", "shoulder"),
)


def test_one_thing_to_work_on_one_to_leave_when_to_test_and_the_cautions_stand_on_the_front() -> None:
    page = swimmer_page(replace(season_of(), step=STEP), AS_OF, sheets=1)
    found = text_of(pdf(page).content)
    assert len(reader(pdf(page).content).pages) == 1
    for said in (
        "Work on: late breath, left (in work, severity 3).",
        "Think: face back before the hand",
        "Do: side kick to the left",
        "Leave: kick too wide (parked): left on purpose since 1 September 2025: later.",
        "Next test: 5 July; every 7 days, as the settings say.",
        "Next look at technique: 10 July; every 28 days, as the settings say.",
        "swim a maximal test only when well",
        "with a sore shoulder",
    ):
        assert squeezed(said) in found, said


def test_the_back_holds_the_coachs_figures_and_the_front_none_of_them() -> None:
    page = swimmer_page(season_of(), AS_OF)
    front, behind = page.sheets
    assert next(section.heading for section in behind.sections) == "The figures behind it"
    assert "Stroke rate and length" in [section.heading for section in behind.sections]
    verdict = season_of().line.verdict
    assert verdict is not None
    said = figures(verdict)
    on_front = plain(replace(page, sheets=(front,)))
    on_back = squeezed(plain(replace(page, sheets=(behind,))))
    assert all(squeezed(line) in on_back for line in said)
    assert not any(squeezed(line) in squeezed(on_front) for line in said)


def test_measures_beside_the_club_stand_on_the_back_alone() -> None:
    line = "height of the kick, left: 44 cm beside this club's own 8 swimmers (no published norm)."
    page = swimmer_page(replace(season_of(), beside_club=(line,)), AS_OF)
    front, _ = page.sheets
    assert line in " ".join(plain(page).split())
    assert "club's own" not in plain(replace(page, sheets=(front,)))
    assert "club's own" not in plain(swimmer_page(season_of(), AS_OF))


def test_what_is_to_come_and_the_target_stand_on_the_back() -> None:
    season = season_of()
    assert season.line.verdict is not None
    day = dt.date(2026, 12, 31)
    told = replace(
        season.line.verdict,
        forecast=(PaceForecast(day, 100.0, 98.5, 101.5),),
        target=Target(98.0, day, 0.57, 0.12),
    )
    page = swimmer_page(replace(season, line=replace(season.line, verdict=told)), AS_OF)
    text = " ".join(plain(page).split())
    assert "A test on 31 December 2026 is expected at 1:40.0 (90 %: 1:38.5 to 1:41.5)." in text
    assert "Target: 1:38.0 per 100 m by 31 December 2026. That takes 0.57 % a month;" in text
    assert "12 %" in text
    assert "Target:" not in plain(swimmer_page(season, AS_OF))


def test_nothing_stands_on_the_back_without_tests() -> None:
    assert len(swimmer_page(season_of(0), AS_OF).sheets) == 1
