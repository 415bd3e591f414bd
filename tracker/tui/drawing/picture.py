"""What a swimmer's chart shows, as values; dates and words only, nothing about cells."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass

from tracker.verdict.verdict import Curve, FlatStretch, Point


@dataclass(frozen=True)
class LaneSpell:
    """A span of dates in which a fault had one state; `ends` None while it lasts."""

    state: str
    begins: dt.date
    ends: dt.date | None


@dataclass(frozen=True)
class Lane:
    """One fault (and side) of a swimmer over time."""

    name: str
    spells: tuple[LaneSpell, ...]


@dataclass(frozen=True)
class Mark:
    """An event, a cue or a drill: a word at a date, perhaps lasting until `ends`."""

    begins: dt.date
    ends: dt.date | None
    word: str


@dataclass(frozen=True)
class StrokeSeries:
    """Values of the stroke by date: what they are, their unit, and (date, value) pairs."""

    kind: str
    unit: str
    values: tuple[tuple[dt.date, float], ...]


@dataclass(frozen=True)
class Picture:
    """Everything on the chart.

    Attributes
    ----------
    until
        The last day shown by default and the end of spells that last.
    no_line
        Why there is no curve; "" where there is one.
    lanes
        In the order in which they stand below the pace.
    marks, work
        Events; and cues and drills, from the day they were begun.
    strokes
        Shown in a pane of its own between the pace and the dates.
    """

    until: dt.date
    points: tuple[Point, ...] = ()
    curve: Curve | None = None
    no_line: str = ""
    flats: tuple[FlatStretch, ...] = ()
    lanes: tuple[Lane, ...] = ()
    marks: tuple[Mark, ...] = ()
    work: tuple[Mark, ...] = ()
    strokes: StrokeSeries | None = None

    @property
    def first(self) -> dt.date:
        """The first day with anything on it."""
        days = [point.date for point in self.points]
        days += [spell.begins for lane in self.lanes for spell in lane.spells]
        days += [mark.begins for mark in self.marks]
        return min([day for day in days if day <= self.until], default=self.until - dt.timedelta(days=90))
