"""The coach's own choice of what to work on: which faults it covers, and when it ends.

A choice ends with what it was made for, and in any case after some weeks; then it is asked for again.
"""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from tracker.model.vocabularies import ChoiceKind, State
from tracker.technique.fault_timeline import CLOSED, FaultTimeline

if TYPE_CHECKING:
    from tracker.model.event import Event
    from tracker.model.swimmer import Choice
    from tracker.settings import Settings

_DATED = re.compile(r"\b(race|camp)s?\b")
"""Words of a reason that name the kind of a planned event."""


@dataclass(frozen=True)
class ActiveChoice:
    """The last choice that no later word about its fault undid.

    Attributes
    ----------
    lives
        The uncorrected faults it stands for: one, or both sides where it names none.
    until
        The last day it rules.
    """

    fault: str
    side: str
    by: str
    reason: str
    date: dt.date
    until: dt.date
    timelines: tuple[FaultTimeline, ...] = ()

    def rules(self, as_of: dt.date) -> bool:
        """Return whether it comes before the tool's ranking on `as_of`; if not, it is to be made again."""
        return as_of <= self.until


def active_choice(
    choices: Iterable[Choice],
    timelines: Sequence[FaultTimeline],
    events: Iterable[Event],
    *,
    as_of: dt.date,
    settings: Settings,
) -> ActiveChoice | None:
    """Return the last choice, whether it rules still or is over; None if there is none or it was undone.

    It is undone when its fault is parked, corrected or opened again, or another is chosen.
    """
    made = sorted(
        (c for c in choices if c.kind == ChoiceKind.CHOOSE and c.date <= as_of), key=lambda c: c.date
    )
    for last in made[-1:]:
        mine = tuple(
            timeline
            for timeline in timelines
            if timeline.fault == last.fault
            and last.side in {"", timeline.side}
            and _stands(last, timeline, as_of)
        )
        if mine:
            until = _until(last, events, settings)
            return ActiveChoice(last.fault, last.side, last.by, last.reason, last.date, until, mine)
    return None


def _stands(choice: Choice, timeline: FaultTimeline, as_of: dt.date) -> bool:
    """Return whether nothing undid a choice since; of one day, it came after a parking it says it is of."""
    moment, opened = timeline.on(as_of), timeline.opened_by(as_of)
    if moment is None or moment.state in CLOSED or opened is None or opened > choice.date:
        return False
    parked = max(timeline.parkings, default=None)
    return parked is None or parked < choice.date or (parked == choice.date and choice.value == State.PARKED)


def _until(choice: Choice, events: Iterable[Event], settings: Settings) -> dt.date:
    """Return the last day of a choice: that of the race or camp its reason names, or so many days on.

    The event is the first of that kind on record from the day of the choice on.
    """
    latest = choice.date + dt.timedelta(days=settings.choice_days)
    kinds = set(_DATED.findall(choice.reason.casefold()))
    ends = (e.to_date or e.from_date for e in events if e.kind in kinds and e.from_date >= choice.date)
    return min([latest, *ends])
