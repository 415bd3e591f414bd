"""One look at a swimmer's technique: scores and measures, one item a record."""

from __future__ import annotations

from typing import Annotated

from sqlmodel import Field

from tracker.model.about import About
from tracker.model.base import Day, Label, Line, Name, Record, Remark, Side
from tracker.model.vocabularies import ItemKind


class ReviewItem(Record):
    """One item of a review; the items of one swimmer, date and reviewer are one review.

    Attributes
    ----------
    item
        Area or measure; empty for a look.
    points
        Points read off a still, "kind:x,y;x,y;...", from which `value` was computed.
    clip
        Reference to the clip: text only, never the clip itself.
    """

    date: Annotated[Day, About("day of the look")]
    swimmer: Name
    reviewer: Annotated[Label, About("the reviewer", value="WHO", hint="who looks", flag="by", empty="you")]
    kind: Annotated[ItemKind, About(fixed=True)]
    item: Annotated[Line, About(fixed=True)] = ""
    side: Annotated[Side, About("left, right or '' for none")] = ""
    value: Annotated[float | None, About("the score or reading")] = Field(default=None, ge=-10_000, le=10_000)
    points: Annotated[Line, About(fixed=True)] = ""
    clip: Annotated[
        Line,
        About(
            "reference to the clip; the clip is not kept",
            value="REF",
            hint="where it is kept; the clip itself stays there",
        ),
    ] = ""
    note: Annotated[Remark, About("anything else; nothing about health", hint="nothing about health")] = ""
