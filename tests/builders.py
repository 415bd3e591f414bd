"""Plain functions that build records and seasons for tests; nothing clever."""

from __future__ import annotations

import datetime as dt
from typing import Any

import numpy as np

from tracker.app.session import Session
from tracker.model.fault import FaultStep
from tracker.model.swim import Swim
from tracker.settings import DEFAULT, Settings
from tracker.store.database import Store

START = dt.date(2025, 1, 6)
TODAY = dt.date(2026, 6, 30)
NOW = dt.datetime(2026, 6, 30, 12, tzinfo=dt.UTC)


def a_session(
    store: Store,
    *,
    today: dt.date = TODAY,
    settings: Settings = DEFAULT,
    who: str = "Maud",
    now: dt.datetime = NOW,
) -> Session:
    """Return what a use-case is given."""
    return Session(store, today, settings, who, now)


def a_swim(days: int = 0, time_s: float = 400.0, **fields: Any) -> Swim:
    """Return a swim of 400 m, `days` after START."""
    values: dict[str, Any] = {
        "date": START + dt.timedelta(days=days),
        "swimmer": "Ada Fjord",
        "test": "t400",
        "distance_m": 400.0,
        "time_s": time_s,
    }
    return Swim(**{**values, **fields})


def a_step(days: int, step: str, fault: str = "breath-late", **fields: Any) -> FaultStep:
    """Return a step in a fault's life, seen by a reviewer, `days` after START."""
    values: dict[str, Any] = {
        "date": START + dt.timedelta(days=days),
        "swimmer": "Ada Fjord",
        "fault": fault,
        "step": step,
        "reviewer": "Bo Lind",
    }
    return FaultStep(**{**values, **fields})


def a_season(
    rates: list[tuple[float, float]],
    *,
    seed: int,
    noise: float = 1.1,
    every_days: int = 7,
    pace: float = 105.0,
) -> tuple[list[int], list[float]]:
    """Return days and paces of a season of test swims.

    Parameters
    ----------
    rates
        (months, percent per month) for each part of the season.
    seed
        Of the Gaussian noise, whose standard deviation is `noise` percent.
    every_days
        Days between tests.
    pace
        Seconds per 100 m at the start.
    """
    months = sum(span for span, _ in rates)
    days = list(range(0, round(months * 30.4375) + 1, every_days))
    joints = np.cumsum([0.0, *[span for span, _ in rates]])
    levels = np.cumsum([0.0, *[span * rate for span, rate in rates]])
    level = np.interp(np.array(days) / 30.4375, joints, levels)
    y = level + np.random.default_rng(seed).normal(0.0, noise, len(days))
    return days, [float(x) for x in pace * np.exp(-y / 100)]
