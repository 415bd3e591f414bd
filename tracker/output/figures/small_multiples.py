"""Small charts of many swimmers on the same axes, twelve to a page."""

from __future__ import annotations

import datetime as dt
import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

from tracker.engine.verdict.verdict import Point, Verdict
from tracker.output.figures.drawing import (
    BLACK,
    BLUE,
    GREY,
    GRID,
    PALE,
    TEXT_PT,
    look,
    panel,
    sheet,
    shortened,
    svg,
)
from tracker.output.figures.pace_panel import pieces
from tracker.output.figures.scales import day_number, month_ticks
from tracker.output.sentences.numbers import number, pace
from tracker.output.sentences.verdict import mark, word
from tracker.technique.attention import RosterLine

if TYPE_CHECKING:
    from matplotlib.axes import Axes

A_PAGE: Final = 12
COLUMNS: Final = 3
WIDTH_MM: Final = 182.0
LEFT_MM: Final = 10.0
GAP_MM: Final = 4.0
TITLE_MM: Final = 6.0
PANEL_MM: Final = 45.0
AXIS_MM: Final = 8.0
STEPS: Final = (1.0, 2.0, 5.0, 10.0, 20.0)


@dataclass(frozen=True)
class SharedAxes:
    """The axes that all small charts share: dates, and percent against the start of each line."""

    first: dt.date
    last: dt.date
    low: float
    high: float


def shared_axes(lines: Sequence[RosterLine], as_of: dt.date) -> SharedAxes:
    """Return axes that hold everybody's line, and nearly everybody's tests."""
    verdicts = [line.verdict for line in lines if line.verdict is not None and line.verdict.points]
    first = min((verdict.first for verdict in verdicts), default=as_of - dt.timedelta(weeks=8))
    values = sorted(value for verdict in verdicts for value in _gains(verdict)) or [0.0]
    low = values[int(0.005 * (len(values) - 1))]
    high = values[math.ceil(0.995 * (len(values) - 1))]
    room = max(1.0, 0.05 * (high - low))
    return SharedAxes(min(first, as_of - dt.timedelta(weeks=8)), as_of, low - room, high + room)


def _baseline(verdict: Verdict) -> float:
    """Return the pace that counts as zero: the line at the first test, without a line that test."""
    return verdict.curve.pace[0] if verdict.curve is not None else _counted(verdict)[0].on_line


def _counted(verdict: Verdict) -> list[Point]:
    """Return the tests that are not set aside; all where none is left."""
    return [point for point in verdict.points if not point.set_aside] or list(verdict.points)


def _gains(verdict: Verdict) -> list[float]:
    start = _baseline(verdict)
    return [100 * math.log(start / point.on_line) for point in _counted(verdict)]


def small_svg(lines: Sequence[RosterLine], shared: SharedAxes) -> bytes:
    """Return a sheet of up to `A_PAGE` charts."""
    rows = math.ceil(len(lines) / COLUMNS)
    wide = (WIDTH_MM - LEFT_MM - (COLUMNS - 1) * GAP_MM) / COLUMNS
    with look():
        figure = sheet(WIDTH_MM, rows * (TITLE_MM + PANEL_MM) + AXIS_MM)
        for place, line in enumerate(lines):
            row, column = divmod(place, COLUMNS)
            axes = panel(
                figure,
                LEFT_MM + column * (wide + GAP_MM),
                row * (TITLE_MM + PANEL_MM) + TITLE_MM,
                wide,
                PANEL_MM,
            )
            _draw(axes, line, shared)
            _ticks(axes, shared, dates=place + COLUMNS >= len(lines), percent=column == 0)
        return svg(figure)


def _draw(axes: Axes, line: RosterLine, shared: SharedAxes) -> None:
    axes.set_xlim(day_number(shared.first), day_number(shared.last) + 1)
    axes.set_ylim(shared.low, shared.high)
    axes.annotate(
        f"{mark(line.verdict)} {shortened(line.swimmer, 20)}: {word(line)}",
        (0, 1),
        xycoords="axes fraction",
        xytext=(0, 3),
        textcoords="offset points",
        fontsize=TEXT_PT,
        color=BLACK,
    )
    verdict = line.verdict
    if verdict is None or not verdict.points:
        return
    start = _baseline(verdict)
    if verdict.present_stretch is not None:
        axes.axvspan(day_number(verdict.since), day_number(verdict.last), color=PALE, linewidth=0)
    counted = _counted(verdict)
    axes.scatter(
        [day_number(point.date) for point in counted],
        [100 * math.log(start / point.on_line) for point in counted],
        s=3,
        color=BLACK,
        linewidths=0,
        zorder=3,
    )
    curve = verdict.curve
    if curve is not None:
        for begin, end in pieces(curve, verdict.points):
            x = [day_number(date) for date in curve.dates[begin:end]]
            axes.plot(
                x, [100 * math.log(start / p) for p in curve.pace[begin:end]], color=BLUE, linewidth=1.4
            )


def _ticks(axes: Axes, shared: SharedAxes, *, dates: bool, percent: bool) -> None:
    span = shared.high - shared.low
    step = next((step for step in STEPS if span / step <= 6), STEPS[-1])
    at = [step * i for i in range(math.ceil(shared.low / step), math.floor(shared.high / step) + 1)]
    axes.set_yticks(
        at, [f"{'+' if value > 0 else ''}{number(value, 0)}" for value in at] if percent else [""] * len(at)
    )
    axes.grid(visible=True, axis="y", color=GRID, linewidth=0.6)
    axes.set_axisbelow(True)
    axes.spines["bottom"].set_visible(True)
    axes.spines["bottom"].set_color(GREY)
    ticks = month_ticks(shared.first, shared.last, most=4) if dates else ()
    axes.set_xticks([day_number(date) for date, _ in ticks], [label for _, label in ticks])


def small_alt(lines: Sequence[RosterLine]) -> str:
    """Return every chart of a sheet in numbers."""
    return " ".join(f"{line.swimmer}: {_alt_of(line)}." for line in lines)


def _alt_of(line: RosterLine) -> str:
    verdict = line.verdict
    if verdict is None:
        return word(line)
    if verdict.curve is None:
        last = pace(_counted(verdict)[-1].on_line if verdict.points else verdict.present_pace)
        return f"{verdict.verdict}, no line yet, the last test at {last}"
    return f"{verdict.verdict}, the line from {pace(verdict.curve.pace[0])} to {pace(verdict.curve.pace[-1])}"
