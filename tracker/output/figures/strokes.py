"""Stroke rate over stroke length, two small panels on one axis of dates."""

from __future__ import annotations

import datetime as dt
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

from tracker.errors import UsageError
from tracker.model.stroke import stroke_of_length
from tracker.model.swim import Swim
from tracker.model.units import pool_length_m
from tracker.output.figures.drawing import BLACK, GREY, GRID, TEXT_PT, look, panel, sheet, svg
from tracker.output.figures.scales import day_number, month_ticks
from tracker.output.sentences.data import distance_words
from tracker.output.sentences.numbers import count, full_day, number


@dataclass(frozen=True)
class StrokePoint:
    """Stroke rate (cycles a minute) and length (m a cycle) of one swim."""

    date: dt.date
    rate: float
    length: float


def stroke_points(swims: Sequence[Swim], push_off_m: float) -> tuple[str, tuple[StrokePoint, ...]]:
    """Return what was swum, and its points in order of date, from swims that count.

    Only swims of the commonest distance, pool and suit: counts of other pools cannot be compared.
    The push-off is taken out of each length (its distance from the settings, its time at 2 m/s:
    an estimate). A rate that was timed goes before the one that follows from the count.
    """
    counted = [swim for swim in swims if swim.strokes]
    if not counted:
        return "", ()
    (common, _), *_ = Counter((swim.distance_m, swim.course, swim.suit) for swim in counted).most_common()
    alike = [swim for swim in counted if (swim.distance_m, swim.course, swim.suit) == common]
    points = [point for swim in alike if (point := _point(swim, push_off_m)) is not None]
    distance, course, suit = common
    words = f"{distance_words(distance, course)} {course}{' in a wetsuit' if suit == 'wetsuit' else ''}"
    return words, tuple(sorted(points, key=lambda point: point.date))


def _point(swim: Swim, push_off_m: float) -> StrokePoint | None:
    length = pool_length_m(swim.course)
    if length is None:
        return None
    counts = [float(count) for count in swim.strokes.split()]
    try:
        stroke = stroke_of_length(
            length, sum(counts) / len(counts), swim.time_s * length / swim.distance_m, push_off_m
        )
    except UsageError:
        return None
    rate = swim.rate_cpm or stroke.rate_cpm
    return StrokePoint(swim.date, rate, stroke.per_cycle_m)


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
