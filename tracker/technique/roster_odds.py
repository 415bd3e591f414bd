"""Odds of a plateau: swimmers with a fault against similar ones without it.

One look across the roster on one day. Coaches look harder at swimmers they think have stalled, which
alone would make faults and plateaus go together; so a fault counts only if it was seen before the
swimmer's plateau began or in a review on schedule, and a swimmer counts as one without it only if
looked at in such a review too.
"""

from __future__ import annotations

import datetime as dt
import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from tracker.engine.verdict.verdict import Verdict, Word
from tracker.technique.fault_timeline import CLOSED, FaultTimeline

PRIOR_SD = 0.7
"""Sd of the log odds ratio before the data: 95 % between a quarter and fourfold (assumption)."""
ROUND_DAYS = 7
ROUND_SHARE = 0.5
ROUND_LEAST = 5
"""A review is on schedule if its reviewer looked, within a week, at half of the group and at least five."""
_Z90, _Z80 = 1.6448536269514722, 1.2815515655446004

Look = tuple[dt.date, str]
"""Day and reviewer."""


@dataclass(frozen=True)
class ReviewedSwimmer:
    """One swimmer as this comparison needs them; `looks` are all days on which somebody looked."""

    swimmer: str
    group: str
    verdict: Verdict | None
    timelines: Sequence[FaultTimeline]
    looks: Sequence[Look]


@dataclass(frozen=True)
class Odds:
    """Flat swimmers among those with and without a fault; the odds ratio shrunken towards 1.

    `low`, `high` are the 90 % interval, `low80` the lower end of the 80 % one.
    """

    fault: str
    with_flat: int
    with_all: int
    without_flat: int
    without_all: int
    ratio: float
    low: float
    high: float
    low80: float


class Schedule:
    """Which looks belong to a round over a group, made once for a roster."""

    def __init__(self, roster: Iterable[ReviewedSwimmer]) -> None:
        self._members: dict[str, int] = {}
        self._days: dict[tuple[str, str], list[tuple[dt.date, str]]] = {}
        for one in roster:
            self._members[one.group] = self._members.get(one.group, 0) + 1
            for day, reviewer in one.looks:
                self._days.setdefault((one.group, reviewer), []).append((day, one.swimmer))
        self._known: dict[tuple[str, Look], bool] = {}

    def holds(self, group: str, look: Look) -> bool:
        """Return whether a look was part of a round."""
        if (group, look) not in self._known:
            day, reviewer = look
            near = {
                name
                for other, name in self._days.get((group, reviewer), ())
                if abs((other - day).days) <= ROUND_DAYS
            }
            least = max(ROUND_LEAST, ROUND_SHARE * self._members.get(group, 0))
            self._known[group, look] = bool(reviewer) and len(near) >= least
        return self._known[group, look]


def roster_odds(
    roster: Sequence[ReviewedSwimmer], fault: str, schedule: Schedule, *, as_of: dt.date
) -> Odds | None:
    """Return the comparison for one fault; None if either side is empty.

    Swimmers whose verdict is "undecided" or "too early" tell nothing and are left out.
    """
    counts = {True: [0, 0], False: [0, 0]}
    for one in roster:
        if one.verdict is None or not one.verdict.verdict.tells:
            continue
        flat = one.verdict.verdict == Word.PLATEAU
        having = _has(one, fault, schedule, as_of)
        if having is not None:
            counts[having][0] += flat
            counts[having][1] += 1
    if not counts[True][1] or not counts[False][1]:
        return None
    return shrunken_odds(fault, counts)


def shrunken_odds(fault: str, counts: Mapping[bool, Sequence[int]]) -> Odds:
    """Return the odds ratio of a two by two table, shrunken towards 1.

    The log odds ratio with 1/2 added to every cell (Haldane 1956; variance of Gart 1966, the sum of the
    reciprocals) meets a normal prior of mean 0 and sd `PRIOR_SD`. Both sources from memory.
    """
    (a, n), (c, m) = counts[True], counts[False]
    cells = (a + 0.5, n - a + 0.5, c + 0.5, m - c + 0.5)
    raw = math.log(cells[0] * cells[3] / (cells[1] * cells[2]))
    variance = sum(1 / cell for cell in cells)
    share = PRIOR_SD**2 / (PRIOR_SD**2 + variance)
    mean, sd = share * raw, math.sqrt(share * variance)
    return Odds(
        fault,
        a,
        n,
        c,
        m,
        ratio=math.exp(mean),
        low=math.exp(mean - _Z90 * sd),
        high=math.exp(mean + _Z90 * sd),
        low80=math.exp(mean - _Z80 * sd),
    )


def _has(one: ReviewedSwimmer, fault: str, schedule: Schedule, as_of: dt.date) -> bool | None:
    """Return whether the swimmer has the fault uncorrected; None if no look allows to say so."""
    flat = one.verdict is not None and one.verdict.verdict == Word.PLATEAU
    until = one.verdict.since_high if one.verdict is not None and flat else as_of

    def fair(look: Look) -> bool:
        return look[0] <= until or (look[0] <= as_of and schedule.holds(one.group, look))

    for timeline in one.timelines:
        moment = timeline.on(as_of)
        if timeline.fault == fault and moment is not None and moment.state not in CLOSED:
            return True if any(fair((s.day, s.reviewer)) for s in timeline.sightings) else None
    return False if any(fair(look) for look in one.looks) else None
