"""The verdict on one series: a value with dates, numbers and reasons; no sentences.

Rates are percent per month, + is faster. All intervals are 90 %.
"""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass
from enum import StrEnum
from typing import Literal, assert_never

from tracker.engine.verdict.to_come import PaceForecast, Target


class Word(StrEnum):
    """What a series is doing. Each place that takes a word apart ends in `assert_never`."""

    GAINING = "gaining"
    PLATEAU = "plateau"
    SLIPPING = "slipping"
    SLOWED = "slowed"
    UNDECIDED = "undecided"
    TOO_EARLY = "too early"

    @property
    def calls_for_a_look(self) -> bool:
        """Whether a coach should see it, and may mark it as seen."""
        match self:
            case Word.PLATEAU | Word.SLIPPING | Word.SLOWED:
                return True
            case Word.GAINING | Word.UNDECIDED | Word.TOO_EARLY:
                return False
            case other:
                assert_never(other)

    @property
    def tells(self) -> bool:
        """Whether it says what the series is doing; else all there is to tell is that nobody knows yet."""
        return self not in {Word.UNDECIDED, Word.TOO_EARLY}


TrendClass = Literal[Word.GAINING, Word.PLATEAU, Word.SLIPPING]
"""The words of the three classes of a rate."""


@dataclass(frozen=True)
class FewTests:
    """There are fewer days with a test than a verdict needs."""

    tests: int
    needed: int


@dataclass(frozen=True)
class ShortRecord:
    """The record covers fewer weeks than a verdict needs."""

    weeks: float
    needed: float


@dataclass(frozen=True)
class NotSure:
    """No class is as probable as its word takes, `enter`; `word` is the likeliest."""

    word: TrendClass
    p: float
    enter: float


@dataclass(frozen=True)
class Sure:
    """The class of `word` reached `enter` and has not fallen below `leave` since."""

    word: TrendClass
    p: float
    enter: float
    leave: float


@dataclass(frozen=True)
class SetAsideTests:
    """So many tests are set aside; `worst` is the largest distance, in typical errors."""

    tests: int
    worst: float


@dataclass(frozen=True)
class HiddenSwitch:
    """A switch of pool, suit or test near the onset, from which the change cannot be separated."""

    what: str


@dataclass(frozen=True)
class MoreTests:
    """So many more tests should tell; None where a year would not do."""

    tests: int | None


Lack = FewTests | ShortRecord
"""What a record lacks before it can get a verdict."""
VerdictReason = Lack | NotSure | Sure | SetAsideTests | HiddenSwitch | MoreTests
"""Why a verdict is what it is; `output.sentences.reasons` says each in a sentence."""


@dataclass(frozen=True)
class DatedStretch:
    """A span of dates in which a series did one thing.

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
class FlatStretch(DatedStretch):
    """A span of dates in which the rate was inside the band."""


@dataclass(frozen=True)
class StorySpan(DatedStretch):
    """One span of the story of a series, from the first test to the last without a gap.

    Attributes
    ----------
    word
        What the series did; of the present span the word of the verdict.
    p
        The probability of the word, or of what an undecided present span leans to; None where the record
        is too short.
    rate, rate_low, rate_high
        Of the line over the span, jumps at dated events left out; None where the record is too short.
    dated
        Whether the onset has an interval. A turn between two moving spans has none: the line names a day
        alone.
    leaning
        What an undecided span leans to.
    """

    word: Word
    p: float | None
    rate: float | None
    rate_low: float | None
    rate_high: float | None
    dated: bool = True
    leaning: TrendClass | None = None


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
class MonthAgo:
    """What a series was doing a month before its last test, from all tests up to the last.

    `word` is the class that is at least `FIRM` probable, or undecided; too early where the record is.
    """

    date: dt.date
    word: Word
    p_gaining: float
    p_flat: float
    p_slipping: float

    @property
    def p(self) -> float:
        """The probability of the word; of the likeliest class where there is none."""
        match self.word:
            case Word.GAINING:
                return self.p_gaining
            case Word.PLATEAU:
                return self.p_flat
            case Word.SLIPPING:
                return self.p_slipping
            case Word.SLOWED | Word.UNDECIDED | Word.TOO_EARLY:
                return max(self.p_gaining, self.p_flat, self.p_slipping)
            case other:
                assert_never(other)


FIRM = 0.80
"""Probability from which the class of a month ago is said. Of such words nine in ten or more are right
(`reports/validation`), for the tests after that day have told whether a change came just before it."""


@dataclass(frozen=True)
class Leaning:
    """The likeliest class where no class is held, and its probability."""

    word: TrendClass
    p: float


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
    held_since
        The look at which the word was first said and not given up since; None where there is none.
    leaning
        Where no class is held.
    tests_to_tell, known_by
        More tests at this rhythm until a word is likelier than not, and the day that they take to; None
        when there is one, or not within a year.
    points, curve, story, forecast, target
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
    held_since: dt.date | None
    leaning: Leaning | None
    month_ago: MonthAgo
    tests_to_tell: int | None
    known_by: dt.date | None
    present_pace: float
    reference: str
    flat_stretches: tuple[FlatStretch, ...]
    set_aside: tuple[SetAside, ...]
    reasons: tuple[VerdictReason, ...]
    points: tuple[Point, ...] = ()
    curve: Curve | None = None
    story: tuple[StorySpan, ...] = ()
    forecast: tuple[PaceForecast, ...] = ()
    target: Target | None = None

    @property
    def own_noise(self) -> float | None:
        """Typical error of one test, a fraction; None while the record is too short to know it."""
        return None if self.lacks else self.noise_pct / 100.0

    @property
    def lacks(self) -> tuple[Lack, ...]:
        """What the record is short of; empty where it is long enough."""
        return tuple(reason for reason in self.reasons if isinstance(reason, Lack))

    @property
    def p(self) -> float | None:
        """The probability of what the verdict says; None where it says nothing yet."""
        return self.chance_of(self.verdict)

    def chance_of(self, word: Word) -> float | None:
        """Return the probability of a word; None for those that say that nobody knows yet."""
        match word:
            case Word.GAINING:
                return self.p_gaining
            case Word.PLATEAU:
                return self.p_flat
            case Word.SLIPPING:
                return self.p_slipping
            case Word.SLOWED:
                return self.p_slowed
            case Word.UNDECIDED | Word.TOO_EARLY:
                return None
            case other:
                assert_never(other)

    @property
    def linked_stretch(self) -> DatedStretch | None:
        """The present stretch where a coach should see it: flat, slipping or slowed. It gets a link."""
        if self.verdict == Word.PLATEAU:
            return self.present_stretch
        if not self.verdict.calls_for_a_look:
            return None
        return DatedStretch(
            self.since, self.last, self.since_low, self.since_high, self.last, self.last, current=True
        )

    @property
    def present_stretch(self) -> FlatStretch | None:
        """The flat stretch that lasts to the last test, if the verdict is a plateau."""
        if self.verdict != Word.PLATEAU:
            return None
        return FlatStretch(
            self.since, self.last, self.since_low, self.since_high, self.last, self.last, current=True
        )
