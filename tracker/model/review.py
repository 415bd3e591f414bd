"""One look at a swimmer's technique: scores and measures, one item a record."""

from __future__ import annotations

import datetime as dt
from typing import Literal

from sqlmodel import Field

from tracker.model.base import Label, Line, Name, Record, Remark, Side


class ReviewItem(Record):
    """One item of a review; the items of one swimmer, date and reviewer are one review.

    Attributes
    ----------
    kind
        "score" (area, 1 to 5), "measure" (a number with side), or "look" (the bare look:
        who looked at what, and found nothing else to write down).
    item
        Area or measure; empty for a look.
    points
        Points read off a still, "kind:x,y;x,y;...", from which `value` was computed.
    clip
        Reference to the clip: text only, never the clip itself.
    """

    date: dt.date
    swimmer: Name
    reviewer: Label
    kind: Literal["score", "measure", "look"]
    item: Line = ""
    side: Side = ""
    value: float | None = Field(default=None, ge=-10_000, le=10_000)
    points: Line = ""
    clip: Line = ""
    note: Remark = ""
