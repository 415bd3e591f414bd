"""The panes of the chart: pace, and strokes."""

from __future__ import annotations

import datetime as dt
from bisect import bisect_right
from collections.abc import Sequence

from tracker.engine.verdict.verdict import Curve, Point
from tracker.errors import UsageError
from tracker.model.stroke import PUSH_OFF_M, PUSH_OFF_SPEED, Stroke, stroke_of_length
from tracker.model.swim import Swim
from tracker.model.units import pool_length_m
from tracker.tui.drawing.cells import Cells, Dots, braille, fitted
from tracker.tui.drawing.picture import Picture, StrokeSeries
from tracker.tui.drawing.scales import DateScale, PaceScale

TEST, OTHER_TEST, SET_ASIDE = "•", "◦", "×"
"""A test of the line's own protocol; one moved to its scale; one that the line does not follow."""


def pace_scale(picture: Picture, dates: DateScale, rows: int) -> PaceScale | None:
    """Return the scale for what is visible, or None if there is nothing with a pace."""
    seen = [point for point in picture.points if dates.first <= point.date <= dates.last]
    paces = [point.on_line for point in seen if not point.set_aside]
    if picture.curve is not None:
        inside = [dates.first <= date <= dates.last for date in picture.curve.dates]
        for side in (picture.curve.fastest, picture.curve.slowest):
            paces += [pace for pace, within in zip(side, inside, strict=True) if within]
    paces = paces or [point.on_line for point in seen]
    return PaceScale.around(paces, rows) if paces else None


def draw_pace(
    cells: Cells, left: int, top: int, picture: Picture, scales: tuple[DateScale, PaceScale]
) -> None:
    """Draw band, line and tests into `cells`, the pane's corner being (`left`, `top`)."""
    dates, paces = scales
    if picture.curve is not None and len(picture.curve.dates) > 1:
        band, line = _curve_dots(picture.curve, dates, paces)
        for y in range(paces.rows):
            for x in range(dates.columns):
                over = line.mask(x, y)
                under = band.mask(x, y)
                if over or under:
                    cells.put(left + x, top + y, braille(over | under), "line" if over else "band")
    for point in sorted(picture.points, key=lambda point: point.set_aside):
        x = dates.column(point.date)
        if 0 <= x < dates.columns:
            cells.put(
                left + x, top + paces.row(point.on_line), _sign(point), "aside" if point.set_aside else "test"
            )


def _sign(point: Point) -> str:
    if point.set_aside:
        return SET_ASIDE
    return TEST if abs(point.on_line - point.pace) < 1e-6 else OTHER_TEST


def _curve_dots(curve: Curve, dates: DateScale, paces: PaceScale) -> tuple[Dots, Dots]:
    """Return the dots of the band and of the line."""
    band, line = Dots(dates.columns, paces.rows), Dots(dates.columns, paces.rows)
    first, last = dates.place(curve.dates[0]), dates.place(curve.dates[-1])
    days = [date.toordinal() for date in curve.dates]
    before: tuple[float, float] | None = None
    for x in range(max(0, round(2 * first)), min(band.width - 1, round(2 * last)) + 1):
        day = _day(dates, (x + 0.5) / 2)
        fastest, middle, slowest = (
            4 * paces.place(_between(days, side, day)) - 0.5
            for side in (curve.fastest, curve.pace, curve.slowest)
        )
        band.column(x, fastest, slowest)
        if before is not None:
            line.join(before, (x, middle))
        before = (x, middle)
    return band, line


def _day(dates: DateScale, place: float) -> float:
    span = (dates.last - dates.first).days + 1
    return dates.first.toordinal() + place * span / dates.columns - 0.5


def _between(days: list[int], values: tuple[float, ...], day: float) -> float:
    """Return the value at `day` by straight interpolation, the end values outside."""
    right = bisect_right(days, day)
    if right == 0 or right == len(days):
        return values[min(right, len(days) - 1)]
    share = (day - days[right - 1]) / (days[right] - days[right - 1])
    return values[right - 1] + share * (values[right] - values[right - 1])


def nearest_test(points: tuple[Point, ...], day: dt.date) -> int | None:
    """Return the index of the test nearest to `day`, None without tests."""
    return min(range(len(points)), key=lambda index: abs((points[index].date - day).days), default=None)


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
