"""Log one look at a swimmer's technique, with the faults seen in it."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass

from tracker.entry.review_form import SeenFault, TypedReview, read_review
from tracker.errors import UsageError
from tracker.faults.life import CLOSED, state_on
from tracker.records.fault import FaultStep, OwnFault
from tracker.records.review import ReviewItem
from tracker.store.database import Store
from tracker.usecases.change_consent import check_may_record

ADULT = 18
"""Years of age."""


@dataclass(frozen=True)
class LoggedReview:
    """What was logged: the items, and the steps that the faults took.

    `minor_clip`: a clip is named of somebody who may be under 18 (only the year of birth is known).
    """

    swimmer: str
    date: dt.date
    reviewer: str
    items: tuple[ReviewItem, ...]
    steps: tuple[FaultStep, ...]
    minor_clip: bool = False


def log_review(
    store: Store, typed: TypedReview, *, as_of: dt.date, who: str, at: dt.datetime
) -> LoggedReview:
    """Log a review. A fault seen is opened, seen again, or back, by what is on record on that day.

    Raises
    ------
    UnknownNameError
        If nobody is called so.
    EntryError
        With every problem of the review.
    UsageError
        If a fault is called corrected that was not there.
    """
    with store.read() as reader:
        swimmer = reader.swimmer(typed.name).record
        check_may_record(reader, swimmer.swimmer, as_of)
        own = [kept.record for kept in reader.all(OwnFault)]
    review = read_review(typed, swimmer, own=own, as_of=as_of)
    with store.write(who=who, what=f"log a review of {swimmer.swimmer}", at=at) as writer:
        before = [kept.record for kept in writer.all(FaultStep, swimmer=swimmer.swimmer)]

        def step(seen: SeenFault, name: str) -> FaultStep:
            return FaultStep.model_validate(
                {
                    "date": review.date,
                    "swimmer": swimmer.swimmer,
                    "fault": seen.fault,
                    "side": seen.side,
                    "step": name,
                    "severity": seen.severity,
                    "reviewer": review.reviewer,
                }
            )

        steps = [step(one, _sighting(before, one, review.date)) for one in review.seen]
        for one in review.corrected:
            _check_there(before, one, review.date)
            steps.append(step(one, "corrected"))
        writer.add([*review.items, *steps])
    young = swimmer.born is not None and review.date.year - swimmer.born <= ADULT
    clip = any(item.clip for item in review.items)
    return LoggedReview(
        swimmer.swimmer, review.date, review.reviewer, review.items, tuple(steps), young and clip
    )


def _of(steps: list[FaultStep], one: SeenFault) -> list[FaultStep]:
    return [step for step in steps if (step.fault, step.side) == (one.fault, one.side)]


def _sighting(before: list[FaultStep], one: SeenFault, day: dt.date) -> str:
    state = state_on(_of(before, one), day)
    if state is None:
        return "open"
    return "back" if state in CLOSED else "seen"


def _check_there(before: list[FaultStep], one: SeenFault, day: dt.date) -> None:
    if state_on(_of(before, one), day) is None:
        side = f" ({one.side})" if one.side else ""
        sides = sorted({step.side for step in before if step.fault == one.fault and step.side != one.side})
        hint = f"; it is on record for: {', '.join(side or 'no side' for side in sides)}" if sides else ""
        raise UsageError(f"{one.fault}{side} is not on record by {day}, so it cannot be corrected{hint}")
