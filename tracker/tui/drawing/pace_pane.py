"""The pace over time in braille: the band (90 %), the line, the tests. Faster is up."""

from __future__ import annotations

import datetime as dt
from bisect import bisect_right

from tracker.tui.drawing.cells import Cells
from tracker.tui.drawing.dots import Dots, braille
from tracker.tui.drawing.picture import Picture
from tracker.tui.drawing.scales import DateScale, PaceScale
from tracker.verdict.verdict import Curve, Point

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
