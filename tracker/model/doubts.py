"""What may be doubtful about a swim: each doubt a small record with its numbers.

Worked out on each use, never stored. `model.plausibility` finds them, `output.sentences.doubts`
says each in a clause.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar


@dataclass(frozen=True)
class _Doubt:
    """`implausible` keeps the swim out of the trend until a person decides.

    `asked` is asked before it is stored, where somebody can be: it may be a slip of the typing.
    """

    implausible: ClassVar[bool] = False
    asked: ClassVar[bool] = False


@dataclass(frozen=True)
class _Implausible(_Doubt):
    implausible: ClassVar[bool] = True
    asked: ClassVar[bool] = True


@dataclass(frozen=True)
class TooFast(_Implausible):
    """A pace, s per 100 m, that nobody swims at."""

    pace: float
    limit: float


@dataclass(frozen=True)
class TooSlow(_Implausible):
    """A pace, s per 100 m, that no test is swum at."""

    pace: float
    limit: float


@dataclass(frozen=True)
class _Pair:
    """Two swims of one day, metres and seconds of each."""

    short_m: float
    short_s: float
    long_m: float
    long_s: float

    @property
    def ratio(self) -> float:
        """How many times as long the longer took."""
        return self.long_s / self.short_s


@dataclass(frozen=True)
class LongerNotLonger(_Pair, _Implausible):
    """The longer took no longer."""


@dataclass(frozen=True)
class Ratio(_Pair, _Implausible):
    """A 400 and a 200 whose times fit no swimmer."""


@dataclass(frozen=True)
class RatioOdd(_Pair, _Doubt):
    """A 400 and a 200 whose times are unusual together."""


@dataclass(frozen=True)
class ShorterNotFaster(_Pair, _Doubt):
    """The shorter was swum no faster."""


@dataclass(frozen=True)
class PartLengths(_Doubt):
    """The distance is no whole number of lengths."""

    distance_m: float
    length_m: float


@dataclass(frozen=True)
class CountsOdd(_Doubt):
    """More stroke counts than lengths."""

    counts: int
    lengths: float


@dataclass(frozen=True)
class RateOdd(_Doubt):
    """Strokes a length and stroke rate do not fit each other."""

    strokes: float
    expected: float
    rate_cpm: float


@dataclass(frozen=True)
class FarFromUsual(_Doubt):
    """A pace far from `usual`, the median of the last five like it."""

    asked: ClassVar[bool] = True
    pace: float
    usual: float

    @property
    def percent(self) -> float:
        """How much slower, percent."""
        return 100 * (self.pace / self.usual - 1)


@dataclass(frozen=True)
class ThirtyAboveCss(_Doubt):
    """Thirty minutes swum no slower than the last CSS."""

    pace: float
    css: float


@dataclass(frozen=True)
class LoggedTwice(_Doubt):
    """The same distance and time are on record for the day."""

    distance_m: float
    time_s: float


PairDoubt = LongerNotLonger | Ratio | RatioOdd | ShorterNotFaster
Doubt = (
    TooFast
    | TooSlow
    | PairDoubt
    | PartLengths
    | CountsOdd
    | RateOdd
    | FarFromUsual
    | ThirtyAboveCss
    | LoggedTwice
)
