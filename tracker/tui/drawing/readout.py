"""One test in a line: its numbers, the faults uncorrected on its day, and the cues and drills in use."""

from __future__ import annotations

import datetime as dt

from tracker.records.units import format_time
from tracker.tui.drawing.scales import MONTHS
from tracker.tui.drawing.swimmer_picture import lane_name
from tracker.usecases.why import SwimmerView

UNCORRECTED = frozenset({"open", "back", "in work"})


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
        if spell.state in UNCORRECTED and spell.begins <= day and (spell.ends is None or day < spell.ends)
    ]
    if faults:
        parts.append("faults: " + ", ".join(faults))
    in_use = [
        f"{work.kind} {work.text}"
        for work in (kept.record for kept in view.work)
        if work.from_date <= day and (work.to_date is None or day <= work.to_date)
    ]
    if in_use:
        parts.append("in use: " + ", ".join(in_use))
    return parts
