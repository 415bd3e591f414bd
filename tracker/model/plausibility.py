"""What is doubtful about a swim: worked out on each use, never stored.

An implausible swim counts only after a person accepted it; a remark is only said. Rules: a
careful coach's consistency checks (common practice, no source) and the algebra of the
two-trial critical swim speed, D' > 0 exactly when T400/T200 > 2.
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import TYPE_CHECKING, Protocol, assert_never

from tracker.model.doubts import (
    CountsOdd,
    Doubt,
    FarFromUsual,
    LongerNotLonger,
    PartLengths,
    RateOdd,
    Ratio,
    RatioOdd,
    ShorterNotFaster,
    ThirtyAboveCss,
    TooFast,
    TooSlow,
)
from tracker.model.stroke import PUSH_OFF_M, PUSH_OFF_SPEED
from tracker.model.units import pool_length_m
from tracker.model.vocabularies import Decision

if TYPE_CHECKING:
    from tracker.model.swim import Swim

STROKE_TOLERANCE = 0.20
"""Rate and count may disagree by this fraction. With the push-off measured 3 % would do (common practice,
no source); assumed and rounded to whole strokes it takes more, and one in the wrong unit is off by half."""
FAR_FROM_USUAL = 0.06
"""About three typical errors of 2 % from the median: ask about the typing."""


SHORT_M, SHORT_SHARE = 100.0, 0.9
"""Below these metres a pace may be this share of the fastest over 100 m or more. The quickest 50 m known, in
a short pool with a dive, took 19.90 s, 39.8 s per 100 m (from memory); a tenth is left for shorter ones."""


class Limits(Protocol):
    """The thresholds the doubts need; `tracker.settings.Settings` has them."""

    @property
    def fastest_pace_s(self) -> float: ...  # noqa: D102 - named as in Settings
    @property
    def slowest_pace_s(self) -> float: ...  # noqa: D102 - named as in Settings
    @property
    def ratio_low(self) -> float: ...  # noqa: D102 - named as in Settings
    @property
    def ratio_high(self) -> float: ...  # noqa: D102 - named as in Settings
    @property
    def ratio_warn_low(self) -> float: ...  # noqa: D102 - named as in Settings
    @property
    def ratio_warn_high(self) -> float: ...  # noqa: D102 - named as in Settings


def doubts(swim: Swim, companions: Iterable[Swim], limits: Limits) -> tuple[Doubt, ...]:
    """Return what is doubtful about `swim`, the implausible first.

    Parameters
    ----------
    companions
        Other swims of the same swimmer, any day; the swim itself may be among them. Those set
        aside, or already accepted or kept by a person, cast no doubt on this one.
    limits
        The thresholds.
    """
    found: list[Doubt] = [*pace_doubts(swim.pace, limits, swim.distance_m)]
    for other in companions:
        if other == swim or other.date != swim.date or other.swimmer != swim.swimmer or other.decision:
            continue
        found += _pair_doubts(swim, other, limits)
    found += _length_doubts(swim)
    return tuple(sorted(dict.fromkeys(found), key=lambda doubt: not doubt.implausible))


def counts(swim: Swim, doubts: Iterable[Doubt]) -> bool:
    """Return whether the swim enters the trend: by decision, else if nothing is implausible."""
    match swim.decision:
        case Decision.ACCEPTED | Decision.KEPT:
            return True
        case Decision.ASIDE:
            return False
        case Decision.UNDECIDED:
            return not any(doubt.implausible for doubt in doubts)
        case other:
            assert_never(other)


def pace_doubts(pace: float, limits: Limits, distance_m: float = SHORT_M) -> list[TooFast | TooSlow]:
    """Return the doubt about a pace, seconds per 100 m, that nobody swims that far at; none if it may be."""
    fastest = limits.fastest_pace_s * (SHORT_SHARE if distance_m < SHORT_M else 1.0)
    if pace < fastest:
        return [TooFast(pace, fastest)]
    if pace > limits.slowest_pace_s:
        return [TooSlow(pace, limits.slowest_pace_s)]
    return []


def _pair_doubts(swim: Swim, other: Swim, limits: Limits) -> list[Doubt]:
    """Return the doubts that two swims of one day cast on each other."""
    short, long = sorted((swim, other), key=lambda one: one.distance_m)
    if short.distance_m == long.distance_m:
        return []
    pair = (short.distance_m, short.time_s, long.distance_m, long.time_s)
    if long.time_s <= short.time_s:
        return [LongerNotLonger(*pair)]
    if (short.course, short.suit, short.kit) != (long.course, long.suit, long.kit) or "" in {
        short.test,
        long.test,
    }:
        return []
    if "reps" in {short.test, long.test}:
        return []
    if abs(long.distance_m / short.distance_m - 2.0) > 1e-6 or not 360 <= long.distance_m <= 400:
        slower = short.pace >= long.pace
        return [ShorterNotFaster(*pair)] if slower else []
    ratio = long.time_s / short.time_s
    together = bool(swim.set_id) and swim.set_id == other.set_id
    # The lower bound holds for any 400 and 200 of one day, the upper only where they were swum as a pair.
    if ratio <= limits.ratio_low or (together and ratio > limits.ratio_high):
        return [Ratio(*pair)]
    if ratio < limits.ratio_warn_low or (together and ratio > limits.ratio_warn_high):
        return [RatioOdd(*pair)]
    return []


def _rounding(length_m: float) -> float:
    """Return by how much a length may be rounded: a pool of a third of 100 m is called 33.3 m."""
    decimals = len(str(length_m).partition(".")[2].rstrip("0"))
    return 0.5 * 10.0**-decimals if decimals else 0.0


def _length_doubts(swim: Swim) -> list[Doubt]:
    """Return remarks on lengths, counts and rate; a swim of whole minutes may end mid-pool."""
    length = pool_length_m(swim.course)
    if length is None:
        return []
    found: list[Doubt] = []
    lengths = swim.distance_m / length
    rounded = max(1e-3 * length, _rounding(length) * round(lengths))
    if abs(swim.distance_m - round(lengths) * length) > rounded and swim.time_s % 60:
        found.append(PartLengths(swim.distance_m, length))
    counted = [int(count) for count in swim.strokes.split()]
    if len(counted) > 1 and len(counted) > lengths + 1e-3:
        found.append(CountsOdd(len(counted), lengths))
    if counted and swim.rate_cpm:
        swimming_s = swim.time_s / lengths - PUSH_OFF_M / PUSH_OFF_SPEED
        expected = swim.rate_cpm / 30.0 * swimming_s
        mean = sum(counted) / len(counted)
        if expected > 0 and abs(mean / expected - 1.0) > STROKE_TOLERANCE:
            found.append(RateOdd(mean, expected, swim.rate_cpm))
    return found


def usual_doubt(swim: Swim, earlier: Iterable[Swim]) -> FarFromUsual | None:
    """Return a remark if the swim lies far from the median pace of the last five like it, else None."""
    like = [
        one.pace
        for one in sorted(earlier, key=lambda one: one.date)
        if (_protocol(one), one.distance_m, one.course, one.suit)
        == (_protocol(swim), swim.distance_m, swim.course, swim.suit)
        and one.decision != Decision.ASIDE
        and one.date < swim.date
    ][-5:]
    if len(like) < 5:
        return None
    median = sorted(like)[2]
    far = abs(swim.pace / median - 1.0) > FAR_FROM_USUAL
    return FarFromUsual(swim.pace, median) if far else None


def _protocol(swim: Swim) -> str:
    """Return the test whose swims it is like: the 400 of a pair is like a 400 swum alone, as on the line."""
    return "t400" if swim.test == "css" and swim.distance_m >= 360 else swim.test


def thirty_doubt(thirty_pace: float, css_pace: float) -> ThirtyAboveCss | None:
    """Return a remark if 30 minutes were swum no slower than CSS, which is a 15 to 40 minute pace."""
    return ThirtyAboveCss(thirty_pace, css_pace) if thirty_pace <= css_pace else None
