"""What was changed in a swimmer's stroke and when: corrections, cues and drills, as dated changes."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Literal

from tracker.faults.life import CLOSED, Life
from tracker.records.work import Work

Kind = Literal["correction", "cue", "drill"]


@dataclass(frozen=True)
class Change:
    """One change in one swimmer, with the day from which it could show.

    A correction counts from the day a reviewer saw it; hearsay is no correction here.
    """

    swimmer: str
    kind: Kind
    fault: str
    date: dt.date
    text: str = ""


def corrections(swimmer: str, lives: Iterable[Life]) -> tuple[Change, ...]:
    """Return every correction that a reviewer saw, in order of date."""
    found = []
    for life in lives:
        state = None
        for moment in life.moments:
            if moment.state == "corrected" and state is not None and state != "corrected":
                found.append(Change(swimmer, "correction", life.fault, moment.day))
            state = moment.state
    return tuple(sorted(found, key=lambda change: change.date))


def works(swimmer: str, work: Iterable[Work]) -> tuple[Change, ...]:
    """Return the first day of every cue and drill, in order of date."""
    found = [Change(swimmer, w.kind, w.fault, w.from_date, w.text) for w in work]
    return tuple(sorted(found, key=lambda change: change.date))


def still_open(life: Life, day: dt.date) -> bool:
    """Return whether the fault was on record and uncorrected at the end of `day`."""
    moment = life.on(day)
    return moment is not None and moment.state not in CLOSED
