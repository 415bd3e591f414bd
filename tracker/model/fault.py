"""A fault's life: one dated step a record; and the coach's own faults."""

from __future__ import annotations

import datetime as dt

from sqlmodel import Field

from tracker.model.base import Label, Line, Name, Note, Record, Remark, Side
from tracker.model.swim_test import Slug
from tracker.model.vocabularies import Answers, Step

OWN = "own-"
"""How the short name of a coach's own fault begins."""


class FaultStep(Record):
    """One step in the life of a fault of a swimmer.

    A step with a reviewer was seen in that reviewer's look of that day; without one it is
    hearsay ("said to be").
    """

    date: dt.date
    swimmer: Name
    fault: Slug
    side: Side = ""
    step: Step
    severity: int | None = Field(default=None, ge=1, le=3)
    reviewer: Line = ""
    note: Remark = ""


class OwnFault(Record):
    """A coach's addition to the catalogue; its short name starts with "own-"."""

    fault: Slug
    name: Label
    area: Line = ""
    view: Line = ""
    measure: Line = ""
    norm: Line = ""
    cost: Line = ""
    cues: Note = ""
    drills: Note = ""
    provoked_by: Note = ""
    answers: Answers = Answers.UNKNOWN
    caution: Note = ""
