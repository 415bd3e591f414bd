"""The fault lanes beneath the chart, and the line that reads out one date."""

from __future__ import annotations

import datetime as dt
from typing import assert_never

from tracker.app.explain import SwimmerView
from tracker.model.units import format_time
from tracker.model.vocabularies import Phase, State
from tracker.tui.drawing.cells import Cells, fitted, width_of
from tracker.tui.drawing.picture import Lane, Mark, Picture, lane_name
from tracker.tui.drawing.scales import MONTHS, DateScale

MARK = "├"
"""Of an event, a cue or a drill: a tick with its word beside it, as on the pages; no verdict has it."""


def pattern_of(state: State) -> str:
    """Return the line of a state; `back` is open again and differs by its word."""
    match state.phase:
        case Phase.WAITING:
            return "━"
        case Phase.IN_WORK:
            return "═"
        case Phase.CLOSED:
            return "·"
        case Phase.PARKED:
            return "┄"
        case other:
            assert_never(other)


def draw_lane(cells: Cells, y: int, lane: Lane, picture: Picture, dates: DateScale) -> None:
    """Draw one fault in row `y`, its name in the gutter left of the dates."""
    left = cells.width - dates.columns
    cells.put(0, y, fitted(lane.name, left - 1), "name")
    for spell in lane.spells:
        if spell.begins > dates.last or (spell.ends or picture.until) < dates.first:
            continue
        span = dates.span(spell.begins, spell.ends or picture.until)
        role = spell.state.replace(" ", "-")
        word = spell.state.short
        body = pattern_of(spell.state) * len(span)
        if len(word) + 2 <= len(span):
            body = body[0] + word + body[len(word) + 1 :]
        cells.put(left + span.start, y, body, role)


def draw_marks(cells: Cells, y: int, marks: tuple[Mark, ...], dates: DateScale, title: str) -> None:
    """Draw events (or cues and drills) in row `y`: a mark at each date, its word where there is room."""
    left = cells.width - dates.columns
    cells.put(0, y, fitted(title, left - 1), "name")
    visible = [mark for mark in marks if 0 <= dates.column(mark.begins) < dates.columns]
    for mark in visible:
        cells.put(left + dates.column(mark.begins), y, MARK, "mark")
    for mark in visible:
        x = left + dates.column(mark.begins) + 1
        word = fitted(mark.word, width_of(mark.word))
        if cells.is_free(x, y, width_of(word) + 1):
            cells.put(x, y, word, "mark")


UNCORRECTED = frozenset({Phase.WAITING, Phase.IN_WORK})


def readout(view: SwimmerView, index: int) -> str:
    """Return the words for the test with this index on the line."""
    verdict = view.line.verdict
    if verdict is None or not 0 <= index < len(verdict.points):
        return ""
    point = verdict.points[index]
    day = point.date
    parts = [
        f"{day.day} {MONTHS[day.month - 1]} {day.year}: {format_time(point.pace, 1)} {point.kind}".rstrip()
    ]
    if abs(point.on_line - point.pace) > 0.005:
        parts.append(f"{format_time(point.on_line, 1)} on the line's scale")
    if point.set_aside:
        parts.append("set aside")
    parts += _of_the_day(view, day)
    return "; ".join(parts)


def _of_the_day(view: SwimmerView, day: dt.date) -> list[str]:
    parts = []
    faults = [
        f"{lane_name((spell.fault, spell.side))} {spell.state}"
        for spell in view.spells
        if spell.state.phase in UNCORRECTED
        and spell.begins <= day
        and (spell.ends is None or day < spell.ends)
    ]
    if faults:
        parts.append("faults: " + ", ".join(faults))
    in_use = [
        f"{work.kind} {work.text}"
        for work in (row.record for row in view.work)
        if work.from_date <= day and (work.to_date is None or day <= work.to_date)
    ]
    if in_use:
        parts.append("in use: " + ", ".join(in_use))
    return parts
