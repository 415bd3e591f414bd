"""Stroke rate, stroke length or stroke count over time, a low pane under the pace."""

from __future__ import annotations

from collections.abc import Sequence

from tracker.errors import UsageError
from tracker.records.stroke import PUSH_OFF_M, PUSH_OFF_SPEED, Stroke, stroke_of_length
from tracker.records.swim import Swim
from tracker.records.units import pool_length_m
from tracker.tui.drawing.cells import Cells, fitted
from tracker.tui.drawing.picture import StrokeSeries
from tracker.tui.drawing.scales import DateScale

KINDS = ("stroke rate", "stroke length", "stroke count")
UNITS = {"stroke rate": "cycles/min", "stroke length": "m/cycle", "stroke count": "a length"}
ROWS = 4


def stroke_series(kind: str, swims: Sequence[Swim]) -> StrokeSeries:
    """Return one value a swim that was counted or timed; the push-off taken out as assumed."""
    values = [(swim.date, value) for swim in swims if (value := _value(kind, swim)) is not None]
    return StrokeSeries(kind, UNITS[kind], tuple(values))


def draw_strokes(cells: Cells, top: int, series: StrokeSeries, dates: DateScale) -> None:
    """Draw `ROWS` rows from `top`; the largest value is on top."""
    left = cells.width - dates.columns
    seen = [(day, value) for day, value in series.values if dates.first <= day <= dates.last]
    cells.put(0, top, fitted(series.kind, left - 6), "axis")
    cells.put(0, top + 1, fitted(series.unit, left - 6), "axis")
    if not seen:
        cells.put(left + 1, top + 1, "not counted in these dates", "name")
        return
    low, high = min(value for _, value in seen), max(value for _, value in seen)
    for row, value in ((0, high), (ROWS - 1, low)):
        label = f"{value:.2f}" if high < 10 else f"{value:.1f}"
        cells.put(left - 1 - len(label), top + row, f"{label}┤", "axis")
    for day, value in seen:
        share = (high - value) / (high - low) if high > low else 0.5
        cells.put(left + dates.column(day), top + min(ROWS - 1, int(share * ROWS)), "•", "stroke")


def _value(kind: str, swim: Swim) -> float | None:
    counts = [int(count) for count in swim.strokes.split()]
    if kind == "stroke count":
        return sum(counts) / len(counts) if counts else None
    if kind == "stroke rate" and swim.rate_cpm:
        return swim.rate_cpm
    length = pool_length_m(swim.course)
    if length is None:
        return None
    time = swim.time_s * length / swim.distance_m
    if counts:
        stroke = _of_length(length, sum(counts) / len(counts), time)
        return None if stroke is None else stroke.rate_cpm if kind == "stroke rate" else stroke.per_cycle_m
    if swim.rate_cpm:
        clean = (length - PUSH_OFF_M) / (time - PUSH_OFF_M / PUSH_OFF_SPEED)
        return 60 * clean / swim.rate_cpm
    return None


def _of_length(length: float, strokes: float, time: float) -> Stroke | None:
    try:
        return stroke_of_length(length, strokes, time)
    except UsageError:
        return None
