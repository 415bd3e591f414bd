"""Dated events and the volume swum by week."""

from __future__ import annotations

import datetime as dt
from typing import Annotated

from sqlmodel import Field

from tracker.model.about import About
from tracker.model.base import FirstDay, LastDay, Name, Record, Remark
from tracker.model.event_kinds import EventKind
from tracker.model.vocabularies import BodyPart


class Event(Record):
    """Something dated that may have moved the line."""

    from_date: FirstDay
    to_date: LastDay = None
    swimmer: Name
    kind: Annotated[EventKind, About("what it was", value="KIND", order=1, health="by kind")]
    body_part: Annotated[
        BodyPart,
        About(
            "what is hurt; about health",
            value="PART",
            hint="what is hurt: shoulder, elbow, wrist, neck, back, hip, knee, ankle, leg or other",
            label="body part",
            heading="body part",
            column="part",
            headers="body part, body_part, korperteil",
            health="always",
        ),
    ] = BodyPart.UNKNOWN
    note: Annotated[
        Remark, About("in words; nothing about health", hint="nothing about health", health="by kind")
    ] = ""


class Load(Record):
    """What was swum in a week; `week` is its Monday."""

    week: Annotated[
        dt.date,
        About(
            "any day of the week, YYYY-MM-DD",
            value="WEEK",
            hint="any day of it, YYYY-MM-DD",
            empty="this week",
        ),
    ]
    swimmer: Name
    sessions: Annotated[int | None, About("how many sessions")] = Field(default=None, ge=0, le=50)
    metres: Annotated[float | None, About("how many metres", value="M")] = Field(
        default=None, ge=0, le=500_000
    )
