"""The data of a swimmer's page: the line of the roster and the record beneath it."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from dataclasses import dataclass, field
from functools import cached_property

from tracker.engine.verdict.counted_swims import SwimStatus, swim_statuses
from tracker.model.fault import FaultStep
from tracker.model.review import ReviewItem
from tracker.model.swim import Swim
from tracker.model.swimmer import Swimmer
from tracker.model.work import Work
from tracker.output.sentences.link import FaultNames
from tracker.settings import DEFAULT, Settings
from tracker.technique.attention import RosterLine
from tracker.technique.disputes import Dispute
from tracker.technique.fault_timeline import Spell
from tracker.technique.next_step import NextStep
from tracker.technique.privacy import ShownEvent


@dataclass(frozen=True)
class Season:
    """One swimmer's record up to `as_of`, for the page of `month`.

    Attributes
    ----------
    month
        First day of the month.
    as_of
        The last day looked at: the end of the month, or the day the page is made.
    line
        With points and curve.
    step
        What comes next; None where nobody worked it out.
    beside_club
        The last readings beside the club's own, a sentence each.
    """

    swimmer: Swimmer
    month: dt.date
    as_of: dt.date
    line: RosterLine
    names: FaultNames
    step: NextStep | None = None
    spells: Sequence[Spell] = ()
    disputes: Sequence[Dispute] = ()
    swims: Sequence[Swim] = ()
    steps: Sequence[FaultStep] = ()
    reviews: Sequence[ReviewItem] = ()
    work: Sequence[Work] = ()
    events: Sequence[ShownEvent] = ()
    beside_club: Sequence[str] = ()
    settings: Settings = field(default=DEFAULT)

    @cached_property
    def swim_statuses(self) -> list[SwimStatus]:
        """How each of the swims stands, in their order."""
        return swim_statuses(self.swims, self.line.verdict, self.settings)

    @property
    def counted(self) -> list[Swim]:
        """The swims that count."""
        return [one.swim for one in self.swim_statuses if one.counts]

    def in_month(self, date: dt.date) -> bool:
        """Return whether `date` lies in the page's month, up to `as_of`."""
        return self.month <= date <= self.as_of

    @property
    def month_statuses(self) -> list[SwimStatus]:
        """The swims of the month, in the order given."""
        return [one for one in self.swim_statuses if self.in_month(one.swim.date)]

    @property
    def month_work(self) -> list[Work]:
        """Cues and drills in use at some time of the month."""
        return [
            work
            for work in self.work
            if work.from_date <= self.as_of and (work.to_date is None or work.to_date >= self.month)
        ]

    @property
    def past_events(self) -> list[ShownEvent]:
        """Events up to `as_of`."""
        return [event for event in self.events if event.from_date <= self.as_of]
