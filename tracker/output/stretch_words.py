"""Which flat stretches are told of, and one of them in words: the same on screen, page and in text."""

from __future__ import annotations

import datetime as dt

from tracker.output.numbers import between, full_day
from tracker.verdict.verdict import FlatStretch, Verdict


def told_stretches(verdict: Verdict) -> tuple[FlatStretch, ...]:
    """Return the flat stretches to tell of and to shade, in order.

    Those that are over, and the present one only where the verdict calls it a plateau: else a line that may
    be gaining as well as flat would stand there as level.
    """
    over = tuple(stretch for stretch in verdict.flat_stretches if not stretch.current)
    present = verdict.present_stretch
    return over if present is None else (*over, present)


def from_the_start(stretch: FlatStretch, verdict: Verdict) -> bool:
    """Return whether a stretch is there from the first test on, so that its onset lies before the record."""
    return stretch.start <= verdict.first


def stretch_words(stretch: FlatStretch, verdict: Verdict) -> str:
    """Return from when to when a stretch was level, with the 90 % intervals of both."""
    as_of = verdict.as_of
    if from_the_start(stretch, verdict):
        begins = f"before the first test ({full_day(verdict.first)})"
    else:
        begins = f"about {_about(stretch.start, stretch.start_low, stretch.start_high, as_of)}"
    ends = "now"
    if not stretch.current:
        ends = f"about {_about(stretch.end, stretch.end_low, stretch.end_high, as_of)}"
    return f"Level from {begins} to {ends}."


def _about(date: dt.date, low: dt.date | None, high: dt.date, as_of: dt.date) -> str:
    return f"{full_day(date)} ({between(low, high, as_of)})"
