"""Ticks of the two axes every chart shares: pace as m:ss, dates as months."""

from __future__ import annotations

import datetime as dt
import math
from collections.abc import Sequence
from typing import Final

from tracker.model.units import format_time
from tracker.output.sentences.numbers import MONTHS

STEPS: Final = (1, 2, 5, 10, 15, 30, 60)
"""Seconds between two ticks of a pace axis."""
SMALLEST_SPAN: Final = 4.0
"""Seconds; a pace axis never shows less, so that noise does not fill the page."""


def pace_range(paces: Sequence[float]) -> tuple[float, float]:
    """Return the fastest and slowest pace of an axis that holds `paces` with some room."""
    low, high = min(paces), max(paces)
    room = max(0.06 * (high - low), (SMALLEST_SPAN - (high - low)) / 2, 0.3)
    return max(0.1, low - room), high + room


def pace_ticks(low: float, high: float, most: int = 7) -> tuple[float, ...]:
    """Return tick positions inside an axis, at most about `most`."""
    step = next((step for step in STEPS if (high - low) / step <= most), None)
    if step is None:
        step = 60 * math.ceil((high - low) / (60 * most))
    return tuple(float(step * i) for i in range(math.ceil(low / step), math.floor(high / step) + 1))


def pace_label(pace: float, low: float, high: float) -> str:
    """Return a tick's label: m:ss, with tenths where the whole axis spans less than ten seconds."""
    return format_time(pace, 1 if high - low < 10 else 0)


def month_ticks(first: dt.date, last: dt.date, most: int = 12) -> tuple[tuple[dt.date, str], ...]:
    """Return first days of months inside [first, last] with labels.

    Steps are 1, 2, 3, 6 or 12 months, or whole years; the year stands under the first label and
    under each January.
    """
    months = (last.year - first.year) * 12 + last.month - first.month + 1
    step = next((step for step in (1, 2, 3, 6, 12) if months / step <= most), None)
    if step is None:
        step = 12 * math.ceil(months / (12 * most))
    ticks: list[tuple[dt.date, str]] = []
    for index in range(first.year * 12 + first.month - 1, last.year * 12 + last.month):
        year, month = divmod(index, 12)
        date = dt.date(year, month + 1, 1)
        if date < first or (month % step if step <= 12 else (month or year % (step // 12))):
            continue
        label = str(year) if step >= 12 else MONTHS[month][:3]
        if step < 12 and (month == 0 or not ticks):
            label = f"{label}\n{year}"
        ticks.append((date, label))
    return tuple(ticks)


def day_number(date: dt.date) -> float:
    """Return a date as the x of a chart: days since 1970-01-01."""
    return float((date - dt.date(1970, 1, 1)).days)
