"""Where the line goes from here: paces to come, and the chance of a target, as dates and paces."""

from __future__ import annotations

import datetime as dt
import math
from collections.abc import Mapping
from dataclasses import dataclass, replace

import numpy as np

from tracker.engine.series.comparable import Series
from tracker.engine.series.rows import day_date
from tracker.engine.trend.forecast import chance_of, forecast
from tracker.engine.trend.posterior import Answer
from tracker.engine.verdict.chart import jumped, pace_at
from tracker.engine.verdict.to_come import PaceForecast, Target
from tracker.engine.verdict.verdict import Verdict
from tracker.model.units import DAYS_PER_MONTH

MONTHS_AHEAD = (1.0, 2.0, 3.0)


@dataclass(frozen=True)
class Aim:
    """A pace (s per 100 m, on the scale of the line) to be reached by a date."""

    pace: float
    date: dt.date


def with_forecast(
    verdicts: tuple[Verdict, ...], series: Series, answer: Answer, aims: Mapping[str, Aim]
) -> tuple[Verdict, ...]:
    """Return the verdicts with what is to come: paces of a test in each of three months, and targets.

    Parameters
    ----------
    aims
        Swimmer -> target. One whose day is not after the last test is left out.

    Notes
    -----
    One change of rate on the way is allowed for, at the roster's rate of changes; the chance is
    that of one ordinary test.
    """
    ahead = forecast(answer, np.array(MONTHS_AHEAD))
    shift = np.array([jumped(series, answer, s) for s in range(len(verdicts))])
    extended = []
    for s, verdict in enumerate(verdicts):
        last = _last_day(series, s)
        paces = tuple(
            PaceForecast(
                last + dt.timedelta(days=round(months * DAYS_PER_MONTH)),
                pace_at(ahead.level[s, h] + shift[s]),
                pace_at(ahead.high[s, h] + shift[s]),
                pace_at(ahead.low[s, h] + shift[s]),
            )
            for h, months in enumerate(MONTHS_AHEAD)
        )
        extended.append(replace(verdict, forecast=paces))
    wanted = {
        s: aims[verdict.swimmer]
        for s, verdict in enumerate(verdicts)
        if verdict.swimmer in aims and aims[verdict.swimmer].date > _last_day(series, s)
    }
    if wanted:
        level, months = np.zeros(len(verdicts)), np.ones(len(verdicts))
        for s, aim in wanted.items():
            level[s] = -100.0 * math.log(aim.pace) - shift[s]
            months[s] = (aim.date - _last_day(series, s)).days / DAYS_PER_MONTH
        chance = chance_of(answer, level, months)
        for s, aim in wanted.items():
            needed = 100.0 * math.log(verdicts[s].present_pace / aim.pace) / months[s]
            target = Target(aim.pace, aim.date, float(needed), float(chance[s]))
            extended[s] = replace(extended[s], target=target)
    return tuple(extended)


def _last_day(series: Series, s: int) -> dt.date:
    """Return the day that the line reaches to, from which it is carried on."""
    return day_date(series.day(s, series.months[s][-1]))
