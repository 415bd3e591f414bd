"""What is doubtful about a swim: codes and numbers, recomputed whenever asked, never stored.

An implausible swim counts only after a person accepted it; a remark is only said. Rules: a
careful coach's consistency checks (common practice, no source) and the algebra of the
two-trial critical swim speed, D' > 0 exactly when T400/T200 > 2.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Protocol

from tracker.model.stroke import PUSH_OFF_M, PUSH_OFF_SPEED
from tracker.model.units import pool_length_m

if TYPE_CHECKING:
    from tracker.model.swim import Swim

STROKE_TOLERANCE = 0.20
"""Rate and count may disagree by this fraction. With the push-off measured 3 % would do (common practice,
no source); assumed and rounded to whole strokes it takes more, and one in the wrong unit is off by half."""
FAR_FROM_USUAL = 0.06
"""About three typical errors of 2 % from the median: ask about the typing."""


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


@dataclass(frozen=True)
class Doubt:
    """One thing doubtful: a code that `output` has words for, and its numbers.

    Attributes
    ----------
    code : str
        "too-fast", "too-slow", "ratio", "ratio-odd", "longer-not-longer", "shorter-not-faster",
        "part-lengths", "counts-odd", "rate-odd", "far-from-usual", "thirty-above-css", "logged-twice".
    implausible : bool
        Whether it keeps the swim out of the trend until a person decides.
    """

    code: str
    numbers: Mapping[str, float] = field(default_factory=dict)
    implausible: bool = False

    @property
    def asked(self) -> bool:
        """Whether whoever can be asked is asked before it is stored: it may be a slip of the typing."""
        return self.implausible or self.code == "far-from-usual"


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
    found = [*pace_doubts(swim.pace, limits)]
    for other in companions:
        if other == swim or other.date != swim.date or other.swimmer != swim.swimmer or other.decision:
            continue
        found += _pair_doubts(swim, other, limits)
    found += _length_doubts(swim)
    return tuple(sorted(_distinct(found), key=lambda doubt: not doubt.implausible))


def _distinct(found: Sequence[Doubt]) -> list[Doubt]:
    return [doubt for place, doubt in enumerate(found) if doubt not in found[:place]]


def counts(swim: Swim, found: Iterable[Doubt]) -> bool:
    """Return whether the swim enters the trend: by decision, else if nothing is implausible."""
    if swim.decision in {"accepted", "kept"}:
        return True
    return swim.decision != "aside" and not any(doubt.implausible for doubt in found)


def pace_doubts(pace: float, limits: Limits) -> list[Doubt]:
    """Return the doubt about a pace, seconds per 100 m, that nobody swims at; none if it may be."""
    if pace < limits.fastest_pace_s:
        return [Doubt("too-fast", {"pace": pace, "limit": limits.fastest_pace_s}, implausible=True)]
    if pace > limits.slowest_pace_s:
        return [Doubt("too-slow", {"pace": pace, "limit": limits.slowest_pace_s}, implausible=True)]
    return []


def _pair_doubts(swim: Swim, other: Swim, limits: Limits) -> list[Doubt]:
    """Return the doubts that two swims of one day cast on each other."""
    short, long = sorted((swim, other), key=lambda one: one.distance_m)
    if short.distance_m == long.distance_m:
        return []
    pair = {
        "short_m": short.distance_m,
        "short_s": short.time_s,
        "long_m": long.distance_m,
        "long_s": long.time_s,
    }
    if long.time_s <= short.time_s:
        return [Doubt("longer-not-longer", pair, implausible=True)]
    if (short.course, short.suit, short.kit) != (long.course, long.suit, long.kit) or "" in {
        short.test,
        long.test,
    }:
        return []
    if "reps" in {short.test, long.test}:
        return []
    if abs(long.distance_m / short.distance_m - 2.0) > 1e-6 or not 360 <= long.distance_m <= 400:
        slower = short.pace >= long.pace
        return [Doubt("shorter-not-faster", pair)] if slower else []
    ratio = long.time_s / short.time_s
    together = bool(swim.set_id) and swim.set_id == other.set_id
    # The lower bound holds for any 400 and 200 of one day, the upper only where they were swum as a pair.
    if ratio <= limits.ratio_low or (together and ratio > limits.ratio_high):
        return [Doubt("ratio", {**pair, "ratio": ratio}, implausible=True)]
    if ratio < limits.ratio_warn_low or (together and ratio > limits.ratio_warn_high):
        return [Doubt("ratio-odd", {**pair, "ratio": ratio})]
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
    found = []
    lengths = swim.distance_m / length
    rounded = max(1e-3 * length, _rounding(length) * round(lengths))
    if abs(swim.distance_m - round(lengths) * length) > rounded and swim.time_s % 60:
        found.append(Doubt("part-lengths", {"distance_m": swim.distance_m, "length_m": length}))
    counted = [int(count) for count in swim.strokes.split()]
    if len(counted) > 1 and len(counted) > lengths + 1e-3:
        found.append(Doubt("counts-odd", {"counts": len(counted), "lengths": lengths}))
    if counted and swim.rate_cpm:
        swimming_s = swim.time_s / lengths - PUSH_OFF_M / PUSH_OFF_SPEED
        expected = swim.rate_cpm / 30.0 * swimming_s
        mean = sum(counted) / len(counted)
        if expected > 0 and abs(mean / expected - 1.0) > STROKE_TOLERANCE:
            found.append(
                Doubt("rate-odd", {"strokes": mean, "expected": expected, "rate_cpm": swim.rate_cpm})
            )
    return found


def usual_doubt(swim: Swim, earlier: Iterable[Swim]) -> Doubt | None:
    """Return a remark if the swim lies far from the median pace of the last five like it, else None."""
    like = [
        one.pace
        for one in sorted(earlier, key=lambda one: one.date)
        if (_protocol(one), one.distance_m, one.course, one.suit)
        == (_protocol(swim), swim.distance_m, swim.course, swim.suit)
        and one.decision != "aside"
        and one.date < swim.date
    ][-5:]
    if len(like) < 5:
        return None
    median = sorted(like)[2]
    if abs(swim.pace / median - 1.0) <= FAR_FROM_USUAL:
        return None
    return Doubt(
        "far-from-usual", {"pace": swim.pace, "usual": median, "percent": 100 * (swim.pace / median - 1)}
    )


def _protocol(swim: Swim) -> str:
    """Return the test whose swims it is like: the 400 of a pair is like a 400 swum alone, as on the line."""
    return "t400" if swim.test == "css" and swim.distance_m >= 360 else swim.test


def thirty_doubt(thirty_pace: float, css_pace: float) -> Doubt | None:
    """Return a remark if 30 minutes were swum no slower than CSS, which is a 15 to 40 minute pace."""
    if thirty_pace > css_pace:
        return None
    return Doubt("thirty-above-css", {"pace": thirty_pace, "css": css_pace})
