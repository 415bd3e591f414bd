"""Dated events and the volume swum by week."""

from __future__ import annotations

import datetime as dt

from sqlmodel import Field

from tracker.model.base import Label, Note, Record
from tracker.model.event_kinds import EventKind


class Event(Record):
    """Something dated that may have moved the line. ``from``/``to`` in CSV."""

    from_date: dt.date
    to_date: dt.date | None = None
    swimmer: Label
    kind: EventKind
    note: Note = ""


class Load(Record):
    """What was swum in a week; `week` is its Monday."""

    week: dt.date
    swimmer: Label
    sessions: int | None = Field(default=None, ge=0, le=50)
    metres: float | None = Field(default=None, ge=0, le=500_000)
