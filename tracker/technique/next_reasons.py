"""Why a next step is proposed: each reason a small record; JSON prints its `code` and its fields."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass
from typing import TYPE_CHECKING, ClassVar

if TYPE_CHECKING:
    from tracker.model.vocabularies import Answers, CostKnown, Depends
    from tracker.technique.link import Evidence, How


@dataclass(frozen=True)
class Linked:
    """The fault of the link; `late` where it was seen after the likeliest onset."""

    code: ClassVar = "linked"
    how: How
    late: bool
    evidence: Evidence


@dataclass(frozen=True)
class Severity:
    """How bad it looks."""

    code: ClassVar = "severity"
    severity: int | None


@dataclass(frozen=True)
class Cost:
    """What it is known to cost."""

    code: ClassVar = "cost"
    known: CostKnown
    cost: str


@dataclass(frozen=True)
class Answer:
    """How soon it usually answers."""

    code: ClassVar = "answers"
    answers: Answers


@dataclass(frozen=True)
class InWork:
    """It is in work, not for long yet."""

    code: ClassVar = "in_work"
    weeks: int
    since: dt.date


@dataclass(frozen=True)
class LongInWork:
    """It is in work for long without a correction."""

    code: ClassVar = "long_in_work"
    weeks: int
    since: dt.date


@dataclass(frozen=True)
class Tried:
    """So many cues and drills against it were stopped."""

    code: ClassVar = "tried"
    times: int


@dataclass(frozen=True)
class ChosenByCoach:
    """A coach chose it."""

    code: ClassVar = "chosen"
    by: str
    why: str
    date: dt.date
    until: dt.date


@dataclass(frozen=True)
class DrawnNow:
    """The draw says to start at once."""

    code: ClassVar = "drawn_now"
    starts: dt.date


@dataclass(frozen=True)
class DrawnLater:
    """The draw says to start later."""

    code: ClassVar = "drawn_later"
    starts: dt.date


@dataclass(frozen=True)
class Parked:
    """It was left on purpose."""

    code: ClassVar = "parked"
    why: str
    since: dt.date


@dataclass(frozen=True)
class AsARule:
    """The catalogue says to leave it."""

    code: ClassVar = "as_a_rule"
    why: str


@dataclass(frozen=True)
class RaceSoon:
    """A race is near and it is slow to change."""

    code: ClassVar = "race_soon"
    date: dt.date


@dataclass(frozen=True)
class OneAtATime:
    """Something else comes first."""

    code: ClassVar = "one_at_a_time"


@dataclass(frozen=True)
class Feeds:
    """It is worked on before another uncorrected fault."""

    code: ClassVar = "feeds"
    fault: str
    how: Depends
    source: str


@dataclass(frozen=True)
class FedBy:
    """Another fault, which is worked on now, comes before it."""

    code: ClassVar = "fed_by"
    fault: str
    how: Depends
    source: str


@dataclass(frozen=True)
class GoingWell:
    """The swimmer gains while it is in work."""

    code: ClassVar = "going_well"


@dataclass(frozen=True)
class HeldBackNow:
    """Something on record holds tests and hard sets back; `arms` where loads on the arms rest too."""

    code: ClassVar = "held_back"
    injured: bool
    arms: bool
    ill: bool
    pregnant: bool


@dataclass(frozen=True)
class AllLeft:
    """All faults on record are left."""

    code: ClassVar = "all_left"
    faults: int


@dataclass(frozen=True)
class ReviewFirst:
    """A plateau without an uncorrected fault: a look comes first."""

    code: ClassVar = "review_first"


@dataclass(frozen=True)
class NoLookYet:
    """Nobody has looked yet, so that no fault is on record says nothing."""

    code: ClassVar = "no_look_yet"


@dataclass(frozen=True)
class NothingOnRecord:
    """No uncorrected fault is on record."""

    code: ClassVar = "nothing_on_record"


Drawn = DrawnNow | DrawnLater
RankReason = Linked | Severity | Cost | Answer | InWork | LongInWork | Tried
ProposalReason = RankReason | ChosenByCoach | Drawn | Feeds
"""Why a fault is to be worked on."""
LeaveReason = Parked | DrawnLater | AsARule | RaceSoon | FedBy | OneAtATime
"""Why a fault is left for now."""
StepReason = HeldBackNow | GoingWell | AllLeft | ReviewFirst | NoLookYet | NothingOnRecord
"""Why there is nothing to work on, or what to bear in mind beside it."""
NextReason = ProposalReason | LeaveReason | StepReason
