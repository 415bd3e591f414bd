"""What the swimmer thinks (cue) and does (drill), from when to when, against which fault."""

from __future__ import annotations

from typing import Literal

from sqlmodel import Field

from tracker.model.base import FirstDay, Label, LastDay, Line, Name, Record


class Work(Record):
    """A cue or a drill in use.

    Attributes
    ----------
    to_date
        Last day in use; None while it goes on.
    fault
        Short name of the fault it answers; empty if none.
    per_week
        Times a week, for a drill.
    """

    from_date: FirstDay
    to_date: LastDay = None
    swimmer: Name
    kind: Literal["cue", "drill"]
    fault: Line = ""
    text: Label
    per_week: float | None = Field(default=None, gt=0, le=50)
