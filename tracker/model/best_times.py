"""Best times by distance, course and suit; and what a new time is beside the earlier ones."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import NamedTuple

from tracker.model.swim import Swim

YEAR = dt.timedelta(days=365)
NOT_TIMES = frozenset({"reps", "t30"})
"""Repeats are swum with rests, and the distance of thirty minutes is not a time."""


class Raced(NamedTuple):
    """What times are compared among: metres, course and suit; a dive and a push are not told apart."""

    distance_m: float
    course: str
    suit: str


@dataclass(frozen=True)
class BestTimes:
    """The fastest swim of all, of the season and of the last year; None where there is none in it."""

    raced: Raced
    swims: int
    ever: Swim
    season: Swim | None
    year: Swim | None


@dataclass(frozen=True)
class Standing:
    """A new time beside the earlier ones of its distance, course and suit.

    Attributes
    ----------
    earlier
        How many there were before its day.
    best
        The fastest of them; None where there was none.
    since
        The last of them that was at least as fast; None where none was, or there was none.
    slower_since
        How many slower ones came after that.
    """

    swim: Swim
    earlier: int
    best: Swim | None
    since: Swim | None
    slower_since: int

    @property
    def is_best(self) -> bool:
        """Whether it is faster than all before, there being some."""
        return self.earlier > 0 and self.since is None


def raced(swim: Swim) -> Raced | None:
    """Return what a swim is compared with; None for what is no time, or was helped by kit."""
    if swim.test in NOT_TIMES or swim.kit:
        return None
    return Raced(swim.distance_m, swim.course, swim.suit)


def season_start(day: dt.date, month: int) -> dt.date:
    """Return the first day of the season that `day` lies in; it begins on the first of `month`."""
    return dt.date(day.year if day.month >= month else day.year - 1, month, 1)


def best_times(swims: Iterable[Swim], *, as_of: dt.date, season_month: int) -> tuple[BestTimes, ...]:
    """Return the best times of swims that count, the shortest distance first; nothing after `as_of`.

    Of equal times the earlier stands.
    """
    own: dict[Raced, list[Swim]] = {}
    for swim in sorted(swims, key=lambda swim: swim.date):
        what = raced(swim)
        if what is not None and swim.date <= as_of:
            own.setdefault(what, []).append(swim)
    begins = season_start(as_of, season_month)
    return tuple(
        BestTimes(
            what,
            len(found),
            min(found, key=_time),
            min((swim for swim in found if swim.date >= begins), key=_time, default=None),
            min((swim for swim in found if swim.date > as_of - YEAR), key=_time, default=None),
        )
        for what, found in sorted(own.items())
    )


def standing(swim: Swim, others: Sequence[Swim]) -> Standing | None:
    """Return how a new time stands beside those of earlier days; None for what is no time."""
    what = raced(swim)
    if what is None:
        return None
    before = sorted(
        (one for one in others if raced(one) == what and one.date < swim.date), key=lambda one: one.date
    )
    at_least = [place for place, one in enumerate(before) if one.time_s <= swim.time_s]
    since = before[at_least[-1]] if at_least else None
    slower = len(before) - 1 - at_least[-1] if at_least else len(before)
    return Standing(swim, len(before), min(before, key=_time, default=None), since, slower)


def _time(swim: Swim) -> float:
    return swim.time_s
