"""The joint chart: pace over the spells of each fault, on one axis of dates.

A flat stretch is shaded down through both, so that a stretch and what was open when it began are
seen in one look.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

from tracker.engine.verdict.verdict import FlatStretch, Verdict
from tracker.output.figures.drawing import GREY, PALE, TEXT_PT, look, panel, sheet, shortened, svg, text_mm
from tracker.output.figures.pace_panel import draw_pace
from tracker.output.figures.scales import day_number, month_ticks
from tracker.output.figures.spell_panel import ROW_MM, draw_key, draw_spells, rows_of
from tracker.output.sentences.link import FaultNames
from tracker.output.sentences.numbers import day
from tracker.output.sentences.verdict import from_the_start, shown_stretches
from tracker.technique.fault_timeline import Spell

MOST_LANES: Final = 3
LONGEST_CELLS: Final = 34


@dataclass(frozen=True)
class Mark:
    """Something dated, in a few words; `ends` is None for a moment."""

    begins: dt.date
    ends: dt.date | None
    text: str


def lanes(
    marks: Sequence[Mark], first: dt.date, last: dt.date, width_mm: float
) -> list[tuple[Mark, int, bool]]:
    """Return each mark with its lane and whether its text stands to its left.

    Marks outside [first, last] are left out, and so are those that would need more than
    `MOST_LANES`: the page names them in words.
    """
    per_day = width_mm / max(1, (last - first).days)
    spans: list[list[tuple[float, float]]] = [[] for _ in range(MOST_LANES)]
    placed: list[tuple[Mark, int, bool]] = []
    for mark in sorted(marks, key=lambda mark: (mark.begins, mark.text)):
        if mark.begins > last or (mark.ends or mark.begins) < first:
            continue
        short = Mark(mark.begins, mark.ends, shortened(mark.text, LONGEST_CELLS))
        begins = max(0.0, (mark.begins - first).days * per_day)
        ends = begins if mark.ends is None else min(width_mm, (mark.ends - first).days * per_day)
        words = text_mm(short.text) + 2.5
        to_left = ends + words > width_mm
        low, high = (begins - words, ends) if to_left else (begins, ends + words)
        for lane, others in enumerate(spans):
            if all(high < other_low or low > other_high for other_low, other_high in others):
                others.append((low, high))
                placed.append((short, lane, to_left))
                break
    return placed


if TYPE_CHECKING:
    from matplotlib.axes import Axes

WIDTH_MM: Final = 182.0
LEFT_MM: Final = 13.0
RIGHT_MM: Final = 17.0
GROUND_MM: Final = 5.0
PACE_TOP_MM: Final = 10.0
PACE_MM: Final = (36.0, 60.0)
"""Lowest and highest pace panel; between them it takes what the rest leaves."""
LANE_MM: Final = 4.0
AXIS_MM: Final = 9.0
KEY_MM: Final = 5.0
SHORTEST: Final = dt.timedelta(weeks=8)


@dataclass(frozen=True)
class JointChart:
    """What the joint chart shows.

    Attributes
    ----------
    verdict
        With points and curve.
    spells
        In the order their rows are to stand.
    marks
        Dated events, cues and drills, as short text on the time axis.
    height_mm
        Of the whole chart, as far as its rows allow.
    """

    verdict: Verdict
    spells: Sequence[Spell]
    names: FaultNames
    marks: Sequence[Mark]
    as_of: dt.date
    height_mm: float = 118.0

    @property
    def first(self) -> dt.date:
        """The left edge: the first test, or eight weeks ago if that is sooner."""
        return min(self.verdict.first, self.as_of - SHORTEST)

    @property
    def last(self) -> dt.date:
        """The right edge: the day of the page."""
        return self.as_of


def joint_svg(chart: JointChart) -> bytes:
    """Return the chart as SVG."""
    rows = rows_of(chart.spells, chart.first, chart.last)
    inner = WIDTH_MM - LEFT_MM - RIGHT_MM
    placed = lanes(chart.marks, chart.first, chart.last, inner)
    depth = max((lane for _, lane, _ in placed), default=-1) + 1
    faults_mm = len(rows) * ROW_MM
    beneath = depth * LANE_MM + 1.5 + faults_mm + AXIS_MM + (KEY_MM if rows else 0)
    pace_mm = min(max(chart.height_mm - PACE_TOP_MM - beneath, PACE_MM[0]), PACE_MM[1])
    heights = PACE_TOP_MM + pace_mm + depth * LANE_MM + 1.5
    total = PACE_TOP_MM + pace_mm + beneath
    left, right = day_number(chart.first), day_number(chart.last)
    edge = (right - left) * 0.012 + 0.5
    with look():
        figure = sheet(WIDTH_MM, total)
        ground = panel(figure, LEFT_MM, GROUND_MM, inner, heights - GROUND_MM + faults_mm)
        axes = panel(figure, LEFT_MM, PACE_TOP_MM, inner, pace_mm)
        events = panel(figure, LEFT_MM, PACE_TOP_MM + pace_mm, inner, max(depth, 1) * LANE_MM)
        for one in (ground, axes, events):
            one.set_xlim(left - edge, right + edge)
        _shade(ground, chart, inner)
        draw_pace(axes, chart.verdict)
        _draw_marks(events, placed, depth, (left, right))
        if rows:
            spells = panel(figure, LEFT_MM, heights, inner, faults_mm)
            spells.set_xlim(left - edge, right + edge)
            draw_spells(spells, rows, chart.names, (chart.first, chart.last), inner)
            draw_key(panel(figure, LEFT_MM, total - KEY_MM, inner, KEY_MM))
        _date_axis(ground, chart.first, chart.last)
        return svg(figure)


def _shade(axes: Axes, chart: JointChart, width_mm: float) -> None:
    """Shade flat stretches from top to bottom, each with its onset in words."""
    axes.set_ylim(0, 1)
    axes.set_yticks([])
    axes.set_zorder(-1)
    right = day_number(chart.last)
    per_day = width_mm / (right - day_number(chart.first))
    for stretch in shown_stretches(chart.verdict):
        begins, ends = day_number(stretch.start), day_number(stretch.end)
        axes.axvspan(begins, ends, color=PALE, linewidth=0)
        axes.plot([begins, begins], [0, 1], color=GREY, linewidth=1, linestyle=(0, (1, 2)))
        words = _onset(stretch, chart.verdict, chart.as_of)
        to_left = text_mm(words) > (right - begins) * per_day
        axes.annotate(
            words,
            (begins, 1),
            xytext=(-2 if to_left else 2, -2),
            textcoords="offset points",
            ha="right" if to_left else "left",
            va="top",
            fontsize=TEXT_PT,
            color=GREY,
        )


def _onset(stretch: FlatStretch, verdict: Verdict, as_of: dt.date) -> str:
    if from_the_start(stretch, verdict):
        return "level from the start"
    return f"level since about {day(stretch.start, as_of)}" if stretch.current else "level"


def _draw_marks(
    axes: Axes, placed: Sequence[tuple[Mark, int, bool]], depth: int, edges: tuple[float, float]
) -> None:
    axes.set_ylim(max(depth, 1), 0)
    axes.set_yticks([])
    axes.set_xticks([])
    for mark, lane, to_left in placed:
        begins = max(day_number(mark.begins), edges[0])
        ends = begins if mark.ends is None else min(max(day_number(mark.ends), begins), edges[1])
        y = lane + 0.5
        axes.plot([begins, ends], [y, y], color=GREY, linewidth=2, solid_capstyle="butt")
        axes.plot([begins, begins], [lane + 0.15, lane + 0.85], color=GREY, linewidth=1)
        axes.annotate(
            mark.text,
            (begins if to_left else ends, y),
            xytext=(-3 if to_left else 3, 0),
            textcoords="offset points",
            ha="right" if to_left else "left",
            va="center_baseline",
            fontsize=TEXT_PT,
            color=GREY,
        )


def _date_axis(axes: Axes, first: dt.date, last: dt.date) -> None:
    ticks = month_ticks(first, last)
    axes.set_xticks([day_number(date) for date, _ in ticks], [label for _, label in ticks])
    axes.tick_params(axis="x", length=2.5, width=0.8, color=GREY)
    axes.spines["bottom"].set_visible(True)
    axes.spines["bottom"].set_color(GREY)
