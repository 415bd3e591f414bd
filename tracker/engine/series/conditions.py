"""Conditions of a test that move its pace beside form: the hour, the effort, a taper, a break, warm-up, rest.

Each is a column beside the line, as pool and suit are: what it is worth is learned for each swimmer, from a
prior that is argued below from published figures. A condition that no swimmer varies is no column at all.
"""

from __future__ import annotations

import datetime as dt
import math
from dataclasses import dataclass
from enum import StrEnum
from itertools import pairwise
from typing import Any

import numpy as np
from numpy.typing import NDArray

from tracker.model.swim_test import BUILT_IN
from tracker.model.units import LEAST_EFFORT

FULL_EFFORT = 9
"""From here on an effort is all out."""
BEST_HOUR = 17.2
"""Hours after midnight: 17:12 (Lok et al. 2020, Sci Rep 10:16088, 144 Olympic finalists)."""
BREAK_DAYS, UNUSUAL, AFTER_DAYS = 22, 3.0, 28
"""A break: so many days without a swim, and so many times the swimmer's usual gap, for who tests once a month
has no break each month (assumption); the tests of so many days after it are not comparable."""
SOON, LATE = 10.0, 45.0
"""Minutes from warm-up to start outside which a test is not comparable: 200 m was 1.5 % faster 20 than 45 min
after it (West et al. 2013, J Sci Med Sport 16:172); the lower one is an assumption."""
REST_RATIO = 2.0
"""A rest is another one from this many times the test's own, or less than one over it (assumption)."""
_OWN_REST = {test.test: test.rest_s for test in BUILT_IN if test.rest_s is not None}
EARLY_H, EVENING_H = 7, 18
"""The hours that "morning" and "evening" of the prior stand for."""
_MORNING, _EVENING = (2 * math.pi * (hour - BEST_HOUR) / 24 for hour in (EARLY_H, EVENING_H))
_PART = 0.5 * (math.cos(_EVENING) - math.cos(_MORNING))
"""What evening (18:00) over morning (07:00) is of the whole swing of the day."""


@dataclass(frozen=True)
class ConditionTraits:
    """What is believed of a condition.

    Attributes
    ----------
    mean, sd : of its effect on the level in percent, + is faster.
    noise : factor on the noise of a test with it.
    """

    mean: float
    sd: float
    noise: float = 1.0


class Condition(StrEnum):
    """A condition beside protocol, pool and suit; its word is the name of the column.

    The priors, in percent:

    - the hour: evening over morning 1.0, sd 1.2, here as the whole swing of the day. Between studies: 0.19
      (Rae et al. 2015), 0.32 (Lok et al. 2020), 2.5 (Baxter & Reilly 1983; Martin et al. 2007), 3.4 (Kline et
      al. 2007). No dependence on distance is firm.
    - effort 8: -4, sd 3. Each point is worth 3.5 to 4 % of pace, derived from effort against load (Ueda &
      Kurokawa 1995); who cannot tell half a point apart adds 1.9 % to a test's noise of 1.5 %.
    - a taper: 1.5, sd 1.5: between 2.2 for finalists (Mujika et al. 2002) and 0.9 at 14 (Toubekis et al.
      2013), for the swimmer's level is not known.
    - after a break: -2.5, sd 1.5: 400 m -3.8 after four weeks off (Zacca et al. 2019), 50 m -1.9 and -2.9
      after five, and a part of it is back before the last of the four weeks.
    - warm-up and rest: assumptions, small and wide.
    """

    traits: ConditionTraits

    def __new__(cls, word: str, mean: float, sd: float, noise: float = 1.0) -> Condition:
        """Return a condition that is its word."""
        condition = str.__new__(cls, word)
        condition._value_ = word
        condition.traits = ConditionTraits(mean, sd, noise)
        return condition

    HOUR = "condition another hour of the day", -1.0 / _PART, 1.2 / _PART
    EFFORT = "condition effort 8", -4.0, 3.0, 1.6
    TAPER = "condition tapered tests", 1.5, 1.5
    BREAK = "condition tests after a break", -2.5, 1.5
    WARM_UP = "condition another time since the warm-up", -0.5, 1.0
    REST = "condition another rest", 0.0, 1.0


CONDITIONS = tuple(Condition)
HOURS = 24
"""The values that a condition may have are whole and below."""
_HOUR = CONDITIONS.index(Condition.HOUR)

Floats = NDArray[np.float64]
Texts = NDArray[Any]


def swing(hour: Floats | float) -> Floats:
    """Return how far from the day's best hour an hour is: 0 at the best, 1 half a day from it."""
    return np.asarray(0.5 * (1.0 - np.cos(2.0 * np.pi * (np.asarray(hour) - BEST_HOUR) / 24.0)))


def whole_hours(times: Texts) -> Floats:
    """Return the nearest whole hour (R,) of each time of day; NaN where there is none."""
    known = {text: _hour(text) for text in set(times.tolist())}
    return np.array([known[text] for text in times.tolist()], float)


def _hour(text: str) -> float:
    if not text:
        return math.nan
    time = dt.time.fromisoformat(text)
    return float((time.hour + (time.minute >= 30)) % 24)


def no_conditions(rows: int) -> Floats:
    """Return (R, C) conditions of tests of which none is known."""
    out = np.zeros((rows, len(CONDITIONS)))
    out[:, _HOUR] = np.nan
    return out


@dataclass(frozen=True)
class Circumstances:
    """What was written down of R swims; NaN where a number is not known.

    Attributes
    ----------
    at : times of day, "HH:MM" or empty.
    effort : 1 to 10.
    taper : whether they were tapered.
    warmup_min, rest_s : minutes since the warm-up; rest before the swim.
    rest_of : short name of the test whose rest it is; empty where a rest says nothing.
    """

    at: Texts
    effort: Floats
    taper: NDArray[np.bool_]
    warmup_min: Floats | None = None
    rest_s: Floats | None = None
    rest_of: Texts | None = None


def conditions_of(swum: Circumstances, after_break: NDArray[np.bool_]) -> Floats:
    """Return (R, C) a column a condition: the hour as it is (NaN where unknown), the others 0 or 1."""
    out = no_conditions(swum.at.size)
    columns: dict[Condition, NDArray[Any]] = {
        Condition.HOUR: whole_hours(swum.at),
        Condition.EFFORT: (swum.effort >= LEAST_EFFORT) & (swum.effort < FULL_EFFORT),
        Condition.TAPER: swum.taper,
        Condition.BREAK: after_break,
    }
    if swum.warmup_min is not None:
        columns[Condition.WARM_UP] = (swum.warmup_min < SOON) | (swum.warmup_min > LATE)
    if swum.rest_s is not None and swum.rest_of is not None:
        own = np.array([_OWN_REST.get(test, math.nan) for test in swum.rest_of.tolist()], float)
        columns[Condition.REST] = (swum.rest_s > REST_RATIO * own) | (swum.rest_s < own / REST_RATIO)
    for condition, values in columns.items():
        out[:, CONDITIONS.index(condition)] = values
    return out


def breaks(day: NDArray[np.int64]) -> list[tuple[int, int]]:
    """Return the breaks between one swimmer's days in order: the last day before and the first after each."""
    days = np.unique(day)
    gap = np.diff(days)
    if not gap.size or gap.max() < BREAK_DAYS:
        return []
    long = np.flatnonzero((gap >= BREAK_DAYS) & (gap >= UNUSUAL * np.median(gap)))
    return [(int(days[i]), int(days[i + 1])) for i in long]


def after_breaks(swimmer: NDArray[Any], day: NDArray[np.int64]) -> NDArray[np.bool_]:
    """Return which swims (R,), sorted by swimmer and day, lie in the weeks after a break."""
    found = np.zeros(day.size, bool)
    same = swimmer[1:] == swimmer[:-1]
    if not (same & (np.diff(day) >= BREAK_DAYS)).any():
        return found
    starts = np.flatnonzero(np.append(True, ~same))
    for first, end in pairwise([*starts.tolist(), day.size]):
        own = day[first:end]
        for _, back in breaks(own):
            found[first:end] |= (own >= back) & (own <= back + AFTER_DAYS)
    return found


def with_usual_hours(conditions: Floats, bounds: NDArray[np.int64]) -> Floats:
    """Return the conditions with the swimmer's usual hour where none is known; 0 where none ever is.

    It is the hour that weighs what the known ones weigh on average: who tests at one hour has that one,
    and an unknown hour moves nothing; with the commonest, half mornings would make all unknown ones mornings.
    """
    hour = conditions[:, _HOUR]
    if np.isnan(hour).all():
        return np.nan_to_num(conditions)
    out, day = conditions.copy(), swing(np.arange(float(HOURS)))
    for first, end in pairwise(bounds.tolist()):
        own = hour[first:end]
        known = own[~np.isnan(own)]
        usual = float(np.abs(day - swing(known).mean()).argmin()) if known.size else 0.0
        out[first:end, _HOUR] = np.where(np.isnan(own), usual, own)
    return out


def varied(conditions: Floats, bounds: NDArray[np.int64]) -> list[int]:
    """Return the numbers of the conditions that some swimmer varies."""
    differs = conditions[1:] != conditions[:-1]
    differs[bounds[1:-1] - 1] = False  # from one swimmer to the next
    return np.flatnonzero(differs.any(axis=0)).tolist()


def as_column(condition: Condition, values: Floats) -> Floats:
    """Return what a condition's values weigh in its column."""
    return swing(values) if condition is Condition.HOUR else values
