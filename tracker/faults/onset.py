"""How likely a stretch began between two dates, from its median and its 90 % interval."""

from __future__ import annotations

import datetime as dt
import math
from collections.abc import Callable

from tracker.verdict.verdict import FlatStretch

Chance = Callable[[dt.date, dt.date], float]
"""Probability that the onset lies from the first to the second date, both included."""

_Z90 = 1.6448536269514722


def chance_from_interval(stretch: FlatStretch) -> Chance:
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
