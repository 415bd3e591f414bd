"""The link: candidates, confounders, evidence, and the chance that a fault was open at the onset."""

from __future__ import annotations

import datetime as dt
import math
from collections.abc import Callable
from dataclasses import dataclass
from enum import StrEnum
from typing import TYPE_CHECKING

from tracker.model.event_kinds import EventKind
from tracker.model.vocabularies import State

if TYPE_CHECKING:
    from tracker.engine.verdict.verdict import DatedStretch
    from tracker.technique.link_grounds import LinkGround


class How(StrEnum):
    """When the fault of a link was seen: before its stretch began, while it lasted, or there is none."""

    BEFORE = "before"
    DURING = "during"
    NONE = "none"


class Evidence(StrEnum):
    """How far the record bears a link out."""

    NONE = "none"
    ON_RECORD = "on record"
    COINCIDES = "coincides in time"
    CONSISTENT = "consistent with"
    ROSTER = "supported by roster comparison"
    RANDOMISED = "supported by randomised timing"


@dataclass(frozen=True)
class Candidate:
    """A fault (and side) that was uncorrected when the stretch began."""

    fault: str
    side: str
    state: State
    opened: dt.date
    severity: int | None


@dataclass(frozen=True)
class FindingTraits:
    """What there is to know of a finding: its name in a sentence, and its place, likeliest first."""

    plain: str
    rank: int


class Finding(StrEnum):
    """What may have moved the line and is no kind of event: what the swims or the weeks show."""

    about: FindingTraits

    def __new__(cls, word: str, about: FindingTraits) -> Finding:
        """Return a finding that is its word."""
        finding = str.__new__(cls, word)
        finding._value_ = word
        finding.about = about
        return finding

    LESS_SWUM = "less swum", FindingTraits("less swum", rank=10)
    MORE_SWUM = "more swum", FindingTraits("more swum", rank=12)
    FAULTS_IN_WORK = "faults in work", FindingTraits("faults in work at once", rank=15)
    BREAK = "break", FindingTraits("a break", rank=30)
    GAP = "gap", FindingTraits("weeks without a swim", rank=35)
    HOUR = "hour", FindingTraits("another hour of the day", rank=55)
    EFFORT = "effort", FindingTraits("another effort", rank=56)
    TAPER = "taper", FindingTraits("tapered tests", rank=57)
    PROTOCOL = "protocol", FindingTraits("another test", rank=60)
    FEWER_TESTS = "fewer tests", FindingTraits("fewer tests", rank=70)
    SEASON = "season", FindingTraits("a flat stretch at the same time of an earlier year", rank=110)


What = EventKind | Finding


@dataclass(frozen=True)
class Confounder:
    """Another thing near the onset that may have moved the line; `detail` says more in a few words."""

    what: What
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
        The day the stretch most likely began; a fault opened after it may still have been there on that day,
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
    confounders: tuple[Confounder, ...] = ()
    grounds: tuple[LinkGround, ...] = ()


def seen_late(opened: dt.date | None, began: dt.date | None) -> bool:
    """Return whether a fault was opened after the likeliest onset, so that nobody saw it open on that day."""
    return opened is not None and began is not None and opened > began


Chance = Callable[[dt.date, dt.date], float]
"""Probability that the onset lies from the first to the second date, both included."""

_Z90 = 1.6448536269514722


def chance_from_interval(stretch: DatedStretch) -> Chance:
    """Return the onset's distribution as two half normals that meet at the median.

    The engine hands over a median and the 5 % and 95 % points only. Each half holds a probability of
    one half and reaches its outer point at 1.645 of its own standard deviations, so that all three
    quantiles are met exactly; what lies between is an approximation. Days count whole.
    Where the stretch may have begun before the record did (`start_low` is None), the earlier half
    lies at unknown dates and never counts towards a window.
    """
    middle = stretch.start.toordinal()
    early = None if stretch.start_low is None else (middle - stretch.start_low.toordinal()) / _Z90
    late = (stretch.start_high.toordinal() - middle) / _Z90

    def below(day: float) -> float:
        if day >= middle:
            return _normal_cdf((day - middle) / late) if late > 0 else 1.0
        if early is None:
            return 0.5
        return _normal_cdf((day - middle) / early) if early > 0 else 0.0

    def chance(first: dt.date, last: dt.date) -> float:
        return max(0.0, below(last.toordinal() + 0.5) - below(first.toordinal() - 0.5))

    return chance


def _normal_cdf(x: float) -> float:
    return 0.5 * (1.0 + math.erf(x / math.sqrt(2.0)))
