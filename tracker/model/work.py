"""Cues (what the swimmer thinks) and drills (what they do): dates and the fault they are against."""

from __future__ import annotations

from typing import Annotated

from sqlmodel import Field

from tracker.model.about import About
from tracker.model.base import FirstDay, Label, LastDay, Line, Name, Record
from tracker.model.vocabularies import WorkKind


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

    from_date: Annotated[FirstDay, About(flag="date")]
    to_date: Annotated[LastDay, About(flag="date", label="last day", hint="YYYY-MM-DD", empty="today")] = None
    swimmer: Name
    kind: Annotated[WorkKind, About("cue or drill", order=1)]
    fault: Annotated[
        Line,
        About(
            "short name of the fault it answers",
            value="FAULT",
            hint="which it answers; may be empty",
            order=2,
        ),
    ] = ""
    text: Annotated[Label, About("in words", hint="in the swimmer's words; to stop, how it begins", order=1)]
    per_week: Annotated[
        float | None,
        About("times a week", hint="of a drill", label="times a week", heading="a week"),
    ] = Field(default=None, gt=0, le=50)
