"""One performance: what was swum, where, how fast."""

from __future__ import annotations

import datetime as dt
from typing import Annotated, Literal

from pydantic import AfterValidator
from sqlmodel import Field

from tracker.model.base import ClockTime, Course, Label, Line, Note, Record, Seconds
from tracker.model.stroke import HIGHEST_RATE_CPM


def _counts(text: str) -> str:
    counts = text.split()
    if any(not (count.isascii() and count.isdigit() and 1 <= int(count) <= 200) for count in counts):
        raise ValueError("is not stroke counts per length (1 to 200, separated by spaces)")
    return " ".join(str(int(count)) for count in counts)


StrokeCounts = Annotated[str, AfterValidator(_counts)]
"""Strokes per length: one number, or several separated by spaces; empty if not counted."""

Decision = Literal["", "accepted", "kept", "aside"]


class Swim(Record):
    """One timed swim.

    Attributes
    ----------
    test
        Short name of the test definition it belongs to; empty for a swim outside any test.
    distance_m
        Metres in every course.
    time_s
        Seconds.
    at
        Time of day, HH:MM.
    warmup_min
        Minutes between the end of the warm-up and the start.
    rest_s
        Rest before this swim within its set, seconds.
    rate_cpm
        Stroke cycles (two arm strokes) per minute.
    effort
        Perceived exertion, 1 to 10.
    set_id
        Shared by the swims of one test (a CSS pair, the repeats); CSV column ``set``.
    decision
        "" nobody decided; "accepted" implausible but confirmed; "kept" doubtful, counts;
        "aside" does not count.
    """

    date: dt.date
    swimmer: Label
    test: Line = ""
    distance_m: float = Field(gt=0, le=100_000)
    time_s: Seconds
    course: Course = "SCM"
    suit: Literal["none", "wetsuit"] = "none"
    kit: Line = ""
    start: Literal["", "push", "dive"] = ""
    at: ClockTime = ""
    warmup_min: float | None = Field(default=None, ge=0, le=600)
    rest_s: float | None = Field(default=None, ge=0, le=86_400)
    strokes: StrokeCounts = ""
    rate_cpm: float | None = Field(default=None, gt=0, le=HIGHEST_RATE_CPM)
    effort: int | None = Field(default=None, ge=1, le=10)
    conditions: Line = ""
    set_id: Line = ""
    decision: Decision = ""
    note: Note = ""

    @property
    def pace(self) -> float:
        """Seconds per 100 m."""
        return 100.0 * self.time_s / self.distance_m
