"""The verdict on one series: a value with dates, numbers and reasons; no sentences.

Rates are percent per month, + is faster. All intervals are 90 %.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping
from dataclasses import dataclass, field
from enum import StrEnum
from typing import Final, assert_never

Value = str | int | float | bool | dt.date | None

SHORT_OF: Final = ("few_tests", "short_record")
"""The reasons that say a record is too short."""


class Word(StrEnum):
    """What a series is doing. Each place that takes a word apart ends in `assert_never`."""

    GAINING = "gaining"
    PLATEAU = "plateau"
    SLIPPING = "slipping"
    SLOWED = "slowed"
    TOO_EARLY = "too early"

    @property
    def calls_for_a_look(self) -> bool:
        """Whether a coach should see it, and may mark it as seen."""
        match self:
            case Word.PLATEAU | Word.SLIPPING | Word.SLOWED:
                return True
            case Word.GAINING | Word.TOO_EARLY:
                return False
            case other:
                assert_never(other)


@dataclass(frozen=True)
class Reason:
    """One ground of a verdict: a code that `output.sentences.verdict` knows, and its numbers."""

    code: str
    numbers: Mapping[str, Value] = field(default_factory=dict)


@dataclass(frozen=True)
class FlatStretch:
    """A span of dates in which the rate was inside the band.

    `start_low` is None where the stretch may have begun before the record did.
    """

    start: dt.date
    end: dt.date
    start_low: dt.date | None
    start_high: dt.date
    end_low: dt.date
    end_high: dt.date
    current: bool


@dataclass(frozen=True)
class SetAside:
    """A test that the line does not follow.

    `errors` is its distance from the line in typical errors; `pace` as swum, s per 100 m.
    """

    date: dt.date
    errors: float
    pace: float


@dataclass(frozen=True)
class Curve:
    """The fitted line over dates, as pace (s per 100 m) on the scale of the reference protocol."""

    dates: tuple[dt.date, ...]
    pace: tuple[float, ...]
    fastest: tuple[float, ...]
    slowest: tuple[float, ...]


@dataclass(frozen=True)
class Point:
    """One test as the engine saw it: `pace` as swum, `on_line` moved to the reference protocol's scale."""

    date: dt.date
    pace: float
    on_line: float
    kind: str
    set_aside: bool


@dataclass(frozen=True)
class PaceForecast:
    """The pace of one ordinary test on a day to come, with its 90 % interval, s per 100 m."""

    date: dt.date
    pace: float
    fastest: float
    slowest: float


@dataclass(frozen=True)
class Target:
    """A target seen from the last test.

    `needed` is the rate that leads there, percent per month; `chance` the probability that one
    ordinary test on that day is at `pace` or faster.
    """

    pace: float
    date: dt.date
    needed: float
    chance: float


@dataclass(frozen=True)
class Verdict:
    """What a series is doing as of its last test.

    Attributes
    ----------
    tests
        Days with at least one test that is not set aside; `first` and `last` are the ends of these.
    since, since_low, since_high
        Onset of the most probable class; with `before_record`, `since` is the first test
        and `since_low` None.
    noise_pct
        Standard deviation of one ordinary test about the line, percent.
    tests_to_tell
        More tests at this rhythm until a verdict is likely; None when there is one, or
        not within a year.
    points, curve, ahead, target
        Only where detail was asked for. No curve through a record that `lacks` tests or weeks: it would
        show what was believed before the first test.
    present_pace
        Seconds per 100 m on the line at the last test, on the scale of `reference`.
    reference
        The protocol whose scale the line has ("400 m SCM").
    """

    swimmer: str
    tests: int
    first: dt.date
    last: dt.date
    as_of: dt.date
    stale: bool
    band: float
    verdict: Word
    p_gaining: float
    p_flat: float
    p_slipping: float
    p_slowed: float
    since: dt.date
    since_low: dt.date | None
    since_high: dt.date
    before_record: bool
    rate: float
    rate_low: float
    rate_high: float
    noise_pct: float
    tests_to_tell: int | None
    present_pace: float
    reference: str
    flat_stretches: tuple[FlatStretch, ...]
    set_aside: tuple[SetAside, ...]
    reasons: tuple[Reason, ...]
    points: tuple[Point, ...] = ()
    curve: Curve | None = None
    forecast: tuple[PaceForecast, ...] = ()
    target: Target | None = None

    @property
    def lacks(self) -> tuple[Reason, ...]:
        """What the record is short of before anything can be said of it; empty where it is long enough."""
        return tuple(reason for reason in self.reasons if reason.code in SHORT_OF)

    @property
    def p(self) -> float | None:
        """The probability of what the verdict says; None where it says nothing yet."""
        match self.verdict:
            case Word.GAINING:
                return self.p_gaining
            case Word.PLATEAU:
                return self.p_flat
            case Word.SLIPPING:
                return self.p_slipping
            case Word.SLOWED:
                return self.p_slowed
            case Word.TOO_EARLY:
                return None
            case other:
                assert_never(other)

    @property
    def present_stretch(self) -> FlatStretch | None:
        """The flat stretch that lasts to the last test, if the verdict is a plateau."""
        if self.verdict != "plateau":
            return None
        return FlatStretch(
            self.since, self.last, self.since_low, self.since_high, self.last, self.last, current=True
        )
