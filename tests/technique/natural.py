"""Seasons of swimmers without any coaching: spells of gaining, standing still and slipping by themselves."""

from __future__ import annotations

import datetime as dt

import numpy as np

from tracker.engine.trend.observations import Floats
from tracker.model.units import DAYS_PER_MONTH
from tracker.technique.matched_comparison import Levels

FIRST = dt.date(2025, 1, 6)
LABELS = ((0.35, 0.6, 0.35), (0.5, 0.0, 0.06), (0.15, -0.5, 0.35))
"""Share, mean and sd of the rates of gaining, flat and slipping spells (assumed; no source)."""
SPELL_MONTHS = 8.0
NOISE = 1.2


def rates(months: float, rng: np.random.Generator) -> tuple[Floats, Floats]:
    """Return starts and rates of one swimmer's spells; flat never follows flat."""
    starts, slopes, last, now = [], [], -1, 0.0
    while now < months:
        share = np.array([label[0] for label in LABELS])
        if last == 1:
            share[1] = 0.0
        last = int(rng.choice(3, p=share / share.sum()))
        starts.append(now)
        slopes.append(rng.normal(LABELS[last][1], LABELS[last][2]))
        now += rng.exponential(SPELL_MONTHS)
    return np.array(starts), np.array(slopes)


def a_natural_season(
    name: str,
    rng: np.random.Generator,
    *,
    weeks: int = 104,
    help_at: float | None = None,
    helped: float = 0.0,
) -> Levels:
    """Return weekly tests; from month `help_at` on the rate is `helped` percent a month higher."""
    days = np.arange(weeks) * 7.0
    t = days / DAYS_PER_MONTH
    starts, slopes = rates(t[-1] + 1, rng)
    jumps = np.diff(slopes, prepend=0.0)
    level = (np.maximum(t[:, None] - starts[None, :], 0.0) * jumps).sum(axis=1)
    if help_at is not None:
        level = level + helped * np.maximum(t - help_at, 0.0)
    return Levels(name, FIRST.toordinal() + days, level + rng.normal(0.0, NOISE, t.size))


def a_natural_roster(
    count: int,
    rng: np.random.Generator,
    *,
    weeks: int = 104,
    help_at: float | None = None,
    helped: float = 0.0,
) -> dict[str, Levels]:
    return {
        name: a_natural_season(name, rng, weeks=weeks, help_at=help_at, helped=helped)
        for name in (f"swimmer {place}" for place in range(count))
    }
