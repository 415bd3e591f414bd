"""A flat stretch, and the fault most recently left uncorrected when it began. Never "because"."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass
from typing import Literal

from tracker.verdict.verdict import Reason

State = Literal["open", "in work", "corrected", "said to be corrected", "parked", "back"]
How = Literal["before", "during", "none"]
Evidence = Literal[
    "none",
    "on record",
    "coincides in time",
    "consistent with",
    "supported by roster comparison",
    "supported by randomised timing",
]


@dataclass(frozen=True)
class Candidate:
    """A fault (and side) that was uncorrected when the stretch began."""

    fault: str
    side: str
    state: State
    opened: dt.date
    severity: int | None


@dataclass(frozen=True)
class Rival:
    """Another thing near the onset that may have moved the line: `what` is a code, `numbers` its values."""

    what: str
    begins: dt.date | None = None
    ends: dt.date | None = None
    detail: str = ""


@dataclass(frozen=True)
class Link:
    """The link of one flat stretch.

    Attributes
    ----------
    fault, side, state, opened
        The linked fault as it was on the day the stretch began, or on its opening day if that is later;
        all None when `how` is "none".
    began
        The day the stretch most likely began; a fault opened after it may still have been there by then,
        for the onset has an interval. None when `how` is "none".
    state_now
        Its state on the day of the verdict.
    days_open
        From `opened` to the day it was corrected, seen by a reviewer, if that is its state now; else to
        the day of the verdict. What is only said to be corrected counts as open, and so does what came back.
    also
        The other candidates, in order.
    said_corrected
        Faults that count as corrected by hearsay only.
    grounds
        What the grade rests on and what else bears on it, each with its numbers.
    """

    how: How
    evidence: Evidence
    fault: str | None = None
    side: str | None = None
    state: State | None = None
    opened: dt.date | None = None
    began: dt.date | None = None
    days_open: int | None = None
    state_now: State | None = None
    also: tuple[Candidate, ...] = ()
    said_corrected: tuple[Candidate, ...] = ()
    rivals: tuple[Rival, ...] = ()
    grounds: tuple[Reason, ...] = ()


def seen_late(opened: dt.date | None, began: dt.date | None) -> bool:
    """Return whether a fault was opened after the likeliest onset, so that nobody saw it open on that day."""
    return opened is not None and began is not None and opened > began
