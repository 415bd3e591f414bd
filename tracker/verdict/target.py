"""How likely a target is, if the present rate lasts; and what rate it would take."""

from __future__ import annotations

import datetime as dt
import math
from dataclasses import dataclass
from statistics import NormalDist

from tracker.verdict.verdict import Verdict

DAYS_PER_MONTH = 30.4375
_Z90 = 1.6448536269514722


@dataclass(frozen=True)
class Outlook:
    """A target seen from the last test.

    Attributes
    ----------
    needed
        Percent per month from the last test to the target's date; + is faster.
    chance
        Probability that the line is at the target's pace or faster on that day, if the present
        rate lasts.
    """

    pace: float
    date: dt.date
    needed: float
    chance: float


def outlook(verdict: Verdict, pace: float, date: dt.date) -> Outlook | None:
    """Return the outlook on reaching `pace` (s per 100 m) by `date`; None if that is not after the last test.

    Notes
    -----
    Level and rate are taken as normal with their 90 % intervals as width, and as independent.
    Their errors go together a little (a line that ends high was steep), so the true chance lies
    somewhat further from one half. A later change of rate is not foreseen: hence "if it lasts".
    """
    months = (date - verdict.last).days / DAYS_PER_MONTH
    if months <= 0:
        return None
    missing = 100.0 * math.log(verdict.present_pace / pace)
    rate_sd = (verdict.rate_high - verdict.rate_low) / (2 * _Z90)
    spread = math.hypot(_level_sd(verdict), months * rate_sd)
    ahead = months * verdict.rate - missing
    chance = NormalDist(0.0, spread).cdf(ahead) if spread > 0 else float(ahead >= 0)
    return Outlook(pace, date, missing / months, chance)


def _level_sd(verdict: Verdict) -> float:
    """Return the standard deviation of the present level in percent, from the curve's band if any."""
    if verdict.curve is None:
        return verdict.noise_pct / math.sqrt(max(1, min(verdict.tests, 4)))
    fastest, slowest = verdict.curve.fastest[-1], verdict.curve.slowest[-1]
    return 100.0 * math.log(slowest / fastest) / (2 * _Z90)
