"""Stroke rate over stroke length, two small panels on one axis of dates."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from typing import TYPE_CHECKING, Final

from tracker.output.figures.drawing import BLACK, GREY, GRID, TEXT_PT, look, panel, sheet, svg
from tracker.output.figures.scales import day_number, month_ticks
from tracker.output.figures.stroke_points import StrokePoint
from tracker.output.sentences.numbers import count, full_day, number

if TYPE_CHECKING:
    from matplotlib.axes import Axes

WIDTH_MM: Final = 182.0
PANEL_MM: Final = 24.0
LEFT_MM: Final = 13.0
RIGHT_MM: Final = 17.0
TOP_MM: Final = 7.0
AXIS_MM: Final = 9.0
LEAST: Final = 3
"""Fewest counted tests for a chart."""


def strokes_svg(points: Sequence[StrokePoint], first: dt.date, last: dt.date) -> bytes:
    """Return the chart of `points`, on the same dates as the joint chart."""
    inner = WIDTH_MM - LEFT_MM - RIGHT_MM
    total = 2 * (TOP_MM + PANEL_MM) + AXIS_MM
    with look():
        figure = sheet(WIDTH_MM, total)
        for place, (title, values) in enumerate(
            (
                ("stroke rate, cycles/min", [point.rate for point in points]),
                ("stroke length, m a cycle", [point.length for point in points]),
            )
        ):
            axes = panel(figure, LEFT_MM, TOP_MM + place * (TOP_MM + PANEL_MM), inner, PANEL_MM)
            edge = (last - first).days * 0.012 + 0.5
            axes.set_xlim(day_number(first) - edge, day_number(last) + edge)
            _draw(axes, title, points, values)
        ticks = month_ticks(first, last)
        axes.set_xticks([day_number(date) for date, _ in ticks], [label for _, label in ticks])
        axes.tick_params(axis="x", length=2.5, width=0.8, color=GREY)
        return svg(figure)


def _draw(axes: Axes, title: str, points: Sequence[StrokePoint], values: Sequence[float]) -> None:
    room = max(0.08 * (max(values) - min(values)), 0.02 * max(values))
    axes.set_ylim(min(values) - room, max(values) + room)
    axes.locator_params(axis="y", nbins=4)
    axes.set_xticks([])
    axes.grid(visible=True, axis="y", color=GRID, linewidth=0.6)
    axes.set_axisbelow(True)
    axes.spines["bottom"].set_visible(True)
    axes.spines["bottom"].set_color(GREY)
    axes.scatter(
        [day_number(point.date) for point in points], values, s=9, color=BLACK, linewidths=0, clip_on=False
    )
    axes.annotate(
        title,
        (0, 1),
        xycoords="axes fraction",
        xytext=(-26, 7),
        textcoords="offset points",
        fontsize=TEXT_PT,
        color=BLACK,
    )


def strokes_alt(what: str, points: Sequence[StrokePoint]) -> str:
    """Return the chart in numbers."""
    rates, lengths = [p.rate for p in points], [p.length for p in points]
    return (
        f"Stroke rate and length of {count(len(points), 'swim')} over {what}, {full_day(points[0].date)} to "
        f"{full_day(points[-1].date)}. Rate between {number(min(rates), 1)} and {number(max(rates), 1)} "
        f"cycles a minute, the last {number(rates[-1], 1)}; length between {number(min(lengths))} and "
        f"{number(max(lengths))} m a cycle, the last {number(lengths[-1])}."
    )
