"""The joint chart: what is drawn, inside its sheet, with the same bytes every time."""

from __future__ import annotations

import datetime as dt
import re
from dataclasses import replace

import pytest

from tests.output.cases import AS_OF
from tests.output.seasons import TYPING_ERROR, season_of
from tracker.engine.verdict.verdict import Curve, Point
from tracker.output.figures.alt_text import joint_alt, joint_caption
from tracker.output.figures.joint import JointChart, joint_svg
from tracker.output.figures.pace_panel import GAP_DAYS, axis_range, pieces
from tracker.output.pages.front import chart_of
from tracker.output.sentences.verdict import data_line


def _chart(tests: int = 54) -> JointChart:
    chart = chart_of(season_of(tests))
    assert chart is not None
    return chart


def test_the_chart_speaks_the_verdicts_words_and_names_every_fault() -> None:
    svg = joint_svg(_chart()).decode()
    texts = re.findall(r"<text[^>]*>([^<]*)</text>", svg)
    for said in (
        "▲ faster, min:s per 100 m",
        "90 % band",
        "level since about 11 February",
        "Hand leaves early, left: open, in work, corrected",
        "Kick too wide: parked",
        "lay-off",
        "▲ 1:04.0",
        "1:41.3",
    ):
        assert said in texts, said


def test_faster_is_up() -> None:
    from matplotlib.figure import Figure

    from tracker.output.figures.pace_panel import draw_pace

    axes = Figure().add_subplot()
    verdict = _chart().verdict
    draw_pace(axes, verdict)
    bottom, top = axes.get_ylim()
    assert top < bottom
    assert (top, bottom) == axis_range(verdict)


@pytest.mark.parametrize("tests", [1, 3, 54, 500])
def test_everything_drawn_lies_on_the_sheet(tests: int) -> None:
    """Parse the SVG: no text is anchored outside the picture's box."""
    svg = joint_svg(_chart(tests)).decode()
    box = re.search(r'viewBox="0 0 ([\d.]+) ([\d.]+)"', svg)
    assert box is not None
    width, height = float(box[1]), float(box[2])
    anchors = re.findall(r"<text[^>]*transform=\"translate\(([-\d.]+) ([-\d.]+)\)", svg)
    anchors += re.findall(r'<text[^>]* x="([-\d.]+)" y="([-\d.]+)"', svg)
    assert len(anchors) > 5
    for x, y in anchors:
        assert 0 <= float(x) <= width
        assert 0 <= float(y) <= height + 1


def test_the_same_chart_has_the_same_bytes() -> None:
    assert joint_svg(_chart()) == joint_svg(_chart())


def test_health_is_not_drawn_unless_switched_on() -> None:
    assert b"injury" not in joint_svg(_chart())
    assert "shoulder" not in joint_alt(_chart())


def test_the_words_for_those_who_cannot_see_it_hold_its_numbers() -> None:
    said = joint_alt(_chart())
    for part in (
        "faster upwards",
        "55 swims on 55 test days, 1 of them set aside; the rest between",
        "from 1:47.0 to 1:41.3",
        "(90 % band at its end: 1:40.5 to 1:42.1)",
        "Level from about 11 February 2026 (20 January to 4 March) to now.",
        "Late breath, left: open from 30 January 2026, in work since 12 June 2026.",
        "lay-off (3 February 2026)",
    ):
        assert part in said, part
    assert "does not start at zero" in joint_caption(_chart())


def test_two_swims_of_a_day_are_two_swims_of_one_test_day() -> None:
    """The chart has a point a swim, while the back counts test days: each says which."""
    chart = _chart()
    kept = tuple(point for point in chart.verdict.points if not point.set_aside)
    twice = replace(chart.verdict, points=(*kept, kept[-1]), tests=54)
    assert "55 swims on 54 test days, between" in joint_alt(replace(chart, verdict=twice))
    assert data_line(twice, AS_OF).startswith("54 test days from ")


def test_a_typing_error_does_not_stretch_the_axis() -> None:
    chart = _chart()
    low, high = axis_range(chart.verdict)
    assert any(point.date == TYPING_ERROR and point.on_line < low for point in chart.verdict.points)
    assert high - low < 20


def test_the_line_stops_at_a_gap_between_tests() -> None:
    day = dt.date(2025, 1, 1)
    near = [day + dt.timedelta(days=d) for d in (0, 10, 20, 20 + GAP_DAYS + 1, 20 + GAP_DAYS + 8)]
    points = [Point(date, 100, 100, "", set_aside=False) for date in near]
    flat = (100.0,) * len(near)
    assert pieces(Curve(tuple(near), flat, flat, flat), points) == [(0, 3), (3, 5)]


@pytest.mark.parametrize("tests", [1, 4, 7])
def test_no_line_is_drawn_below_the_tests_that_a_verdict_needs(tests: int) -> None:
    """It would be what was believed before the first test; the words beside the chart say why."""
    chart = _chart(tests)
    assert b"90 % band" not in joint_svg(chart)
    why = f"No line yet: {tests} of the 8 tests it needs."
    for said in (joint_alt(chart), joint_caption(chart)):
        assert why in said
        assert "The line" not in said


def test_a_line_is_drawn_from_there_on() -> None:
    assert b"90 % band" in joint_svg(_chart(8))
    assert "The line is what they say together" in joint_caption(_chart(8))
    assert "No line" not in joint_alt(_chart(8)) + joint_caption(_chart(8))
    assert _chart(1).first == AS_OF - dt.timedelta(weeks=8)
