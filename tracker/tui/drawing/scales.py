"""From dates to columns, from paces to rows, and where the ticks go."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass

from tracker.model.units import format_time

MONTHS = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")
MONTH_STEPS = (1, 2, 3, 6, 12, 24, 60, 120, 240, 600)
PACE_STEPS_S = (0.5, 1.0, 2.0, 5.0, 10.0, 15.0, 30.0, 60.0)


@dataclass(frozen=True)
class DateScale:
    """Dates from `first` to `last` spread over `columns` cells, both ends inclusive."""

    first: dt.date
    last: dt.date
    columns: int

    def place(self, date: dt.date) -> float:
        """Return where a date lies, in cells from the left; below 0 or above `columns` if outside."""
        days = max(1, (self.last - self.first).days + 1)
        return ((date - self.first).days + 0.5) * self.columns / days

    def column(self, date: dt.date) -> int:
        """Return the cell in which a date lies."""
        return int(self.place(date) // 1)

    def span(self, begins: dt.date, ends: dt.date) -> range:
        """Return the cells between two dates, both inclusive, cut to the grid."""
        return range(max(0, self.column(begins)), min(self.columns - 1, self.column(ends)) + 1)

    def ticks(self) -> list[tuple[int, str]]:
        """Return (column, label) of each tick: days, months, quarters or years, never crowded."""
        days = max(1, (self.last - self.first).days + 1)
        per_month = self.columns * 30.4 / days
        if per_month >= 28:
            return self._day_ticks(step=7 if per_month >= 40 else 14)
        steps = (step for step in MONTH_STEPS if per_month * step >= 11)
        return self._month_ticks(next(steps, MONTH_STEPS[-1]))

    def _day_ticks(self, step: int) -> list[tuple[int, str]]:
        day = self.first + dt.timedelta(days=-self.first.weekday() % 7)
        labels: list[tuple[int, str]] = []
        while day <= self.last:
            labels.append((self.column(day), f"{day.day} {MONTHS[day.month - 1]}"))
            day += dt.timedelta(days=step)
        return labels

    def _month_ticks(self, step: int) -> list[tuple[int, str]]:
        months = range(self.first.year * 12 + self.first.month - 1, self.last.year * 12 + self.last.month)
        labels: list[tuple[int, str]] = []
        for month in months:
            day = dt.date(month // 12, month % 12 + 1, 1)
            if month % step == 0 and day >= self.first:
                year = day.month == 1 or not labels
                labels.append((self.column(day), MONTHS[day.month - 1] + (f" {day.year}" if year else "")))
        return labels


@dataclass(frozen=True)
class PaceScale:
    """Paces (s per 100 m) over `rows` cells; faster is up, so `fastest` is the top edge."""

    fastest: float
    slowest: float
    rows: int

    @classmethod
    def around(cls, paces: list[float], rows: int) -> PaceScale:
        """Return the scale that holds all `paces` with a little air, at least 4 s high."""
        low, high = min(paces), max(paces)
        air = max(0.06 * (high - low), (4.0 - (high - low)) / 2, 0.2)
        return cls(low - air, high + air, rows)

    def place(self, pace: float) -> float:
        """Return where a pace lies, in cells from the top."""
        return (pace - self.fastest) / (self.slowest - self.fastest) * self.rows

    def row(self, pace: float) -> int:
        """Return the cell in which a pace lies, held to the edge where it is outside."""
        return min(self.rows - 1, max(0, int(self.place(pace) // 1)))

    def ticks(self) -> list[tuple[int, str]]:
        """Return (row, label) of each tick, at most one to every second row."""
        height = self.slowest - self.fastest
        step = next((step for step in PACE_STEPS_S if height / step <= max(2.0, self.rows / 2)), 120.0)
        first = -(-self.fastest // step) * step
        decimals = 1 if step < 1 else 0
        paces = [first + step * index for index in range(int((self.slowest - first) // step) + 1)]
        return [(self.row(pace), format_time(pace, decimals)) for pace in paces]
