"""What is to come of a series: the pace of a test on a day ahead, and the chance of a target."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass


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
