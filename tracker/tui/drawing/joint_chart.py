"""The joint chart: the pace over time and, beneath on the same dates, what became of each fault.

Flat stretches are shaded across both, so that a stretch and its fault are seen in one look.
"""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass

from tracker.tui.drawing.cells import Cells, Run, fitted, width_of
from tracker.tui.drawing.fault_lanes import draw_lane, draw_marks
from tracker.tui.drawing.panes import ROWS, draw_pace, draw_strokes, pace_scale
from tracker.tui.drawing.picture import Picture
from tracker.tui.drawing.scales import MONTHS, DateScale

MIN_PACE_ROWS = 5
ROOM_FOR_WORK = 20
"""Rows from which cues and drills have a row of their own; the cursor reads them in any size."""


@dataclass(frozen=True)
class View:
    """Which dates are shown, and the day under the cursor."""

    first: dt.date
    last: dt.date
    cursor: dt.date | None = None


def gutter_width(width: int) -> int:
    """Return the cells left of the dates: fault names and pace labels stand there."""
    return 18 if width < 110 else 24


def joint_chart(picture: Picture, view: View, width: int, height: int) -> list[list[Run]]:
    """Return the chart as `height` rows of runs, together `width` cells wide.

    From top to bottom: the names of the flat stretches, the pace, the dates, the events, the faults.
    Where rows are short the pace keeps at least `MIN_PACE_ROWS` and the last faults are counted.
    """
    cells = Cells(width, height)
    left = gutter_width(width)
    dates = DateScale(view.first, view.last, max(1, width - left))
    rows_of_marks = [("events", picture.marks)]
    if height >= ROOM_FOR_WORK:
        rows_of_marks.append(("cues and drills", picture.work))
    rows_of_marks = [(title, marks) for title, marks in rows_of_marks if marks]
    events = len(rows_of_marks)
    strokes = ROWS if picture.strokes and height >= 2 + events + ROWS + MIN_PACE_ROWS else 0
    lanes = min(len(picture.lanes), max(0, height - 2 - events - strokes - MIN_PACE_ROWS))
    rows = max(1, height - 2 - events - strokes - lanes)
    _shade(cells, left, picture, dates)
    _draw_pane(cells, picture, dates, rows)
    if picture.strokes and strokes:
        draw_strokes(cells, rows + 1, picture.strokes, dates)
    below = rows + 1 + strokes
    _draw_dates(cells, left, below, dates)
    for place, (title, marks) in enumerate(rows_of_marks, start=1):
        draw_marks(cells, below + place, marks, dates, title)
    hidden = len(picture.lanes) - lanes
    for index, lane in enumerate(picture.lanes[:lanes]):
        y = below + 1 + events + index
        if hidden and index == lanes - 1:
            cells.put(0, y, f"and {hidden + 1} more faults", "name")
        else:
            draw_lane(cells, y, lane, picture, dates)
    if view.cursor is not None:
        _draw_cursor(cells, left, dates, view.cursor)
    return [list(cells.line(y, range(height))) for y in range(height)]


def _shade(cells: Cells, left: int, picture: Picture, dates: DateScale) -> None:
    for flat in picture.flats:
        if flat.end < dates.first or flat.start > dates.last:
            continue
        span = dates.span(flat.start, flat.end)
        cells.shaded.update(left + x for x in span)
        word = f"flat from {flat.start.day} {MONTHS[flat.start.month - 1]}"
        for text in (word, "flat"):
            if width_of(text) + 2 <= len(span) or text == "flat":
                cells.put(
                    left + span.start, 0, text if len(text) == len(span) else f" {text} "[: len(span)], "flat"
                )
                break


def _draw_pane(cells: Cells, picture: Picture, dates: DateScale, rows: int) -> None:
    left = cells.width - dates.columns
    paces = pace_scale(picture, dates, rows)
    cells.put(0, 0, "faster ▲", "axis")
    if paces is None:
        cells.put(left + 1, 1 + rows // 2, "no tests in these dates", "name")
        return
    for row, label in paces.ticks():
        cells.put(left - 1 - len(label), 1 + row, f"{label}┤", "axis")
    cells.put(0, 1, "min:s per", "axis")
    cells.put(0, 2, "100 m", "axis")
    draw_pace(cells, left, 1, picture, (dates, paces))
    if picture.no_line:
        cells.put(left, 0, fitted(picture.no_line, dates.columns).rstrip(), "name")


def _draw_dates(cells: Cells, left: int, y: int, dates: DateScale) -> None:
    cells.put(left - 1, y, "└", "axis")
    for x in range(dates.columns):
        cells.put(left + x, y, "━" if left + x in cells.shaded else "─", "axis")
    for x, label in dates.ticks():
        if x >= 0 and x + 1 + len(label) <= dates.columns:
            cells.put(left + x, y, f"┬{label}", "axis")


def _draw_cursor(cells: Cells, left: int, dates: DateScale, day: dt.date) -> None:
    x = dates.column(day)
    if not 0 <= x < dates.columns:
        return
    for y in range(cells.height):
        if cells.role_at(left + x, y) in {"", "band"}:
            cells.put(left + x, y, "│", "cursor")
