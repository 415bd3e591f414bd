"""Swimmers who do one thing: a stated rate, on a stated calendar, with a stated trouble.

`tests/simulate/seasons.py` draws whole populations; here the truth is fixed and only errors and small
things vary, so that each figure has one cause.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from tests.simulate.seasons import QUICK, Season, errors_of
from tracker.model.units import DAYS_PER_MONTH

Floats = NDArray[np.float64]
PACE = 90.0
"""Seconds per 100 m that whole seconds are rounded at."""


@dataclass(frozen=True)
class Plan:
    """What a swimmer does. Months, percent, shares of tests; each default is "no such trouble"."""

    before: float = 0.6
    after: float = 0.6
    """Rates in percent per month up to `change` and from there on."""
    change: float = 12.0
    months: float = 24.0
    gap: int = 7
    """Days between tests; one in ten is missed."""
    noise: tuple[float, float] = (0.8, 1.4)
    law: str = "mixed"
    """"mixed": a third each normal, t with 4 df, one-sided slow days; or "normal", "t3", "skew"."""
    typing: float = 0.0
    """Share of tests typed wrong by 8 to 30 percent."""
    shared: float = 0.0
    """Share of variance that weeks have in common, over `shared_months`."""
    shared_months: float = 1.0
    season: float = 0.0
    """Amplitude of an annual wave, any phase."""
    slowing: float = 0.0
    """Months that the change of rate takes, from `change` on."""
    step: float = 0.0
    """How far the level is lower after each of two unmarked breaks of four weeks."""
    holes: int = 0
    """Breaks of ten weeks without tests and without loss."""
    rounded: bool = False
    """Paces kept in whole seconds per 100 m."""

    @property
    def changes(self) -> bool:
        return self.before != self.after


def made(rng: np.random.Generator, plan: Plan) -> Season:
    """Draw one swimmer of a plan."""
    days = int(plan.months * DAYS_PER_MONTH)
    at = np.arange(days + 1) / DAYS_PER_MONTH
    way = np.clip((at - plan.change) / max(plan.slowing, 1e-9), 0.0, 1.0)
    rate = plan.before + (plan.after - plan.before) * way
    level = np.concatenate([[0.0], np.cumsum(rate[:-1] / DAYS_PER_MONTH)])
    level += plan.season * np.sin(2 * np.pi * (at / 12.0 + rng.random()))
    dates = np.arange(0, days + 1, plan.gap)
    dates = dates[(rng.random(dates.size) > 0.1) | (np.arange(dates.size) == 0)]
    for _ in range(2 * (plan.step > 0)):
        back = int(rng.integers(60, days - 40))
        level[back:] -= plan.step
        dates = dates[(dates >= back) | (dates < back - 28)]
    for _ in range(plan.holes):
        start = int(rng.integers(40, days - 110))
        dates = dates[(dates < start) | (dates >= start + 70)]
    noise = float(rng.uniform(*plan.noise))
    y = level[dates] + _errors(rng, plan, dates, noise)
    if plan.rounded:
        y = -100 * np.log(np.round(PACE * np.exp(-y / 100)) / PACE)
    return Season(dates / DAYS_PER_MONTH, y, np.zeros(dates.size, np.int64), rate[: dates[-1] + 1], noise)


def many(rng: np.random.Generator, size: int, plan: Plan) -> list[Season]:
    """Draw `size` swimmers of a plan."""
    return [made(rng, plan) for _ in range(size)]


def _errors(rng: np.random.Generator, plan: Plan, dates: NDArray[np.int64], noise: float) -> Floats:
    if plan.law == "mixed":
        own = errors_of(rng, QUICK, dates, 1.0)
    elif plan.law == "t3":
        own = rng.standard_t(3, dates.size) / np.sqrt(3.0)
    elif plan.law == "skew":
        own = 1.0 - rng.gamma(1.0, 1.0, dates.size)
    else:
        own = rng.normal(size=dates.size)
    shared = rng.normal(size=dates.size)
    for i in range(1, dates.size):
        keep = np.exp(-(dates[i] - dates[i - 1]) / DAYS_PER_MONTH / plan.shared_months)
        shared[i] = keep * shared[i - 1] + np.sqrt(1 - keep**2) * shared[i]
    errors = noise * (np.sqrt(1 - plan.shared) * own + np.sqrt(plan.shared) * shared)
    wrong = rng.random(dates.size) < plan.typing
    return np.asarray(errors + wrong * rng.choice([-1, 1], dates.size) * rng.uniform(8, 30, dates.size))
