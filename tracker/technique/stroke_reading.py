"""Stroke rate and length over a flat stretch, as a second witness.

Pace flat, rate up, length down: effort hiding a slipping stroke. Pace flat, length up, rate down: a
gain in technique not yet turned into speed, or a pause in front. Both flat: a true plateau. Common
practice, consistent with Marinho et al. 2020 (rate -5 %, length +5 %, time -4 %).
"""

from __future__ import annotations

import datetime as dt
import math
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum
from typing import TYPE_CHECKING, NamedTuple, assert_never

from tracker.model.units import DAYS_PER_MONTH, LEAST_EFFORT

if TYPE_CHECKING:
    from tracker.engine.verdict.verdict import DatedStretch
    from tracker.model.swim import Swim


class Witness(StrEnum):
    """What stroke rate and length say of a flat stretch."""

    EFFORT_RISING = "effort rising"
    STROKES_LONGER = "strokes longer"
    BOTH_FLAT = "both flat"
    NOT_CLEAR = "not clear"
    TOO_FEW = "too few"


class Stroke(StrEnum):
    """What was logged of the stroke."""

    RATE = "rate"
    """Cycles a minute."""
    STROKES = "strokes"
    """Strokes a length."""


LEAST_SWIMS = 6
"""Fewest counted or timed swims in a stretch (assumption)."""
CLEAR_PCT = 2.0
"""Change over the stretch, percent, from which a direction is named: products of rate and length agree
with speed within 2 to 3 % only (spread between published pairs)."""


class StrokeSample(NamedTuple):
    """One swim's conditions, cycles a minute and strokes a length (None where not taken)."""

    date: dt.date
    conditions: tuple[str, ...]
    rate_cpm: float | None
    strokes: float | None


@dataclass(frozen=True)
class StrokeReading:
    """What rate and length did over the stretch.

    Attributes
    ----------
    swims
        Swims with a rate or a count, all of one protocol, pool and suit.
    by
        The rate where it was logged, else the strokes, whose rise is shorter strokes; None with too few.
    change, low, high
        Change of stroke rate over the stretch, percent, with its 90 % interval; with pace flat the
        length changed by about as much the other way.
    """

    witness: Witness
    swims: int
    by: Stroke | None = None
    change: float | None = None
    low: float | None = None
    high: float | None = None


def stroked(swim: Swim) -> StrokeSample:
    """Return what a swim says of the stroke; several counts are averaged.

    A swim too easy for a test is comparable with others of its pace alone: within a second per 100 m.
    """
    counts = [int(count) for count in swim.strokes.split()]
    mean = sum(counts) / len(counts) if counts else None
    easy = swim.effort is not None and swim.effort < LEAST_EFFORT
    held = (f"held at {2 * round(swim.pace / 2)} s",) if easy else ()
    kind = (swim.test or f"{swim.distance_m:g} m", swim.course, swim.suit, *held)
    return StrokeSample(swim.date, kind, swim.rate_cpm, mean)


def read_strokes(stretch: DatedStretch, swims: Sequence[StrokeSample]) -> StrokeReading:
    """Return how rate and length moved over `stretch`, from swims of its commonest conditions."""
    within = [s for s in swims if stretch.start <= s.date <= stretch.end]
    by_rate, by_count = _comparable(within, Stroke.RATE), _comparable(within, Stroke.STROKES)
    if len(by_rate) >= LEAST_SWIMS:
        return _reading(Stroke.RATE, by_rate, stretch)
    if len(by_count) >= LEAST_SWIMS:
        return _reading(Stroke.STROKES, by_count, stretch)
    return StrokeReading(Witness.TOO_FEW, max(len(by_rate), len(by_count)))


def _comparable(swims: Sequence[StrokeSample], by: Stroke) -> list[tuple[float, float]]:
    """Return (months, percent) of the commonest conditions; percent is 100 ln of rate or count."""
    taken = [(s, _taken(s, by)) for s in swims]
    known = [(s, value) for s, value in taken if value]
    if not known:
        return []
    common = Counter(s.conditions for s, _ in known).most_common(1)[0][0]
    return [
        (s.date.toordinal() / DAYS_PER_MONTH, 100 * math.log(value))
        for s, value in known
        if s.conditions == common
    ]


def _taken(swim: StrokeSample, by: Stroke) -> float | None:
    match by:
        case Stroke.RATE:
            return swim.rate_cpm
        case Stroke.STROKES:
            return swim.strokes
        case other:
            assert_never(other)


def _reading(by: Stroke, points: Sequence[tuple[float, float]], stretch: DatedStretch) -> StrokeReading:
    """Return the least-squares change over the stretch with its Student interval, and what it says."""
    from scipy.special import stdtrit

    count = len(points)
    mean_t, mean_y = (sum(values) / count for values in zip(*points, strict=True))
    along = sum((t - mean_t) ** 2 for t, _ in points)
    if along <= 0:
        return StrokeReading(Witness.TOO_FEW, count)
    slope = sum((t - mean_t) * (y - mean_y) for t, y in points) / along
    rest = sum((y - mean_y - slope * (t - mean_t)) ** 2 for t, y in points)
    error = math.sqrt(rest / (count - 2) / along)
    months = (stretch.end - stretch.start).days / DAYS_PER_MONTH
    wide = float(stdtrit(count - 2, 0.95)) * error * months
    change = slope * months
    return StrokeReading(
        _witness(change, change - wide, change + wide), count, by, change, change - wide, change + wide
    )


def _witness(change: float, low: float, high: float) -> Witness:
    if low > 0 and change >= CLEAR_PCT:
        return Witness.EFFORT_RISING
    if high < 0 and change <= -CLEAR_PCT:
        return Witness.STROKES_LONGER
    return Witness.BOTH_FLAT if low > -2 * CLEAR_PCT and high < 2 * CLEAR_PCT else Witness.NOT_CLEAR
