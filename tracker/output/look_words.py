"""What changed between two looks of one reviewer, in words, and what one camera can't tell."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable
from typing import Final

from tracker.faults.reviewing import LookChange
from tracker.output.numbers import day, number
from tracker.records.catalogue import Area, Measure, areas, measures

CAMERA: Final = (
    "One camera: what is turned out of the picture or nearer than the scale is measured wrongly, and water "
    "bends the view. Film the same side, lens height and pace each time, and read twice."
)


def change_line(
    change: LookChange, areas: dict[str, Area], measures: dict[str, Measure], as_of: dt.date
) -> str:
    """Return "breathing 2 to 4 (Maud, 3 March to 5 May): better", with what it takes where that is known."""
    measure = measures.get(change.item)
    area = areas.get(change.item)
    unit = f" {measure.unit}" if measure else ""
    name = measure.name if measure else area.name if area else change.item
    side = f", {change.side}" if change.side else ""
    value = number(change.value, 1)
    if change.before is None or change.before_date is None:
        return f"{name}{side}: {value}{unit} ({change.reviewer}, {day(change.date, as_of)}); first look."
    span = f"{day(change.before_date, as_of)} to {day(change.date, as_of)}"
    error = (
        "own reading error not known"
        if change.needed is None
        else f"a change counts from {number(change.needed, 1)}"
    )
    return (
        f"{name}{side}: {number(change.before, 1)} to {value}{unit} ({change.reviewer}, {span}): "
        f"{change.seen}; {error}."
    )


def look_lines(changes: Iterable[LookChange], as_of: dt.date) -> list[str]:
    """Return a line for each item, a reviewer's together."""
    by_area = {area.slug: area for area in areas()}
    by_measure = {measure.slug: measure for measure in measures()}
    ordered = sorted(changes, key=lambda change: change.reviewer)
    return [change_line(change, by_area, by_measure, as_of) for change in ordered]


def score_words(area: Area, score: float) -> str:
    """Return what a score of 1 to 5 in an area looks like; empty outside."""
    place = round(score) - 1
    return area.steps[place] if 0 <= place < len(area.steps) else ""


def norm_words(measure: Measure, value: float) -> str:
    """Return where a measured value lies against its norm, the norm and its source beside it."""
    reading = measure.reading(value)
    if reading == "no norm":
        return measure.norm
    return f"{reading} ({measure.norm}; {measure.source})"
