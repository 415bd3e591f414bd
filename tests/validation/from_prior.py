"""Swimmers drawn from the built-in priors themselves: what a correct engine must be right about."""

from __future__ import annotations

import numpy as np

from tests.simulate.seasons import Season
from tracker.engine.trend.mixture import SHIFTS, SLOW, TYPING, WIDTHS
from tracker.engine.trend.priors import FLAT, Priors
from tracker.model.units import DAYS_PER_MONTH


def drawn(rng: np.random.Generator, priors: Priors) -> Season:
    """Draw calendar, segments, noise and errors as the priors have them."""
    gap = rng.choice([7, 10, 14, 30])
    days = int(gap * rng.integers(8, 1 + min(110, 900 // gap)))
    day = np.arange(0, days, gap)
    rate = _rates(rng, priors, int(day[-1]) + 1)
    level = np.concatenate([[0.0], np.cumsum(rate[:-1] / DAYS_PER_MONTH)])[day]
    noise = priors.noise * np.sqrt(priors.noise_df / rng.chisquare(priors.noise_df))
    share = rng.choice(priors.correlated, p=priors.correlated_weight)
    keep = np.exp(-gap / DAYS_PER_MONTH / priors.correlation_months)
    shared = rng.normal(size=day.size)
    for i in range(1, day.size):
        shared[i] = keep * shared[i - 1] + np.sqrt(1 - keep**2) * shared[i]
    own = rng.normal(size=day.size)
    law = rng.random(day.size)
    own = np.where(law < priors.slow_day, SHIFTS[SLOW] + WIDTHS[SLOW] * own, own)
    own = np.where(law > 1 - priors.typing_error, SHIFTS[TYPING] + WIDTHS[TYPING] * own, own)
    y = level + noise * (np.sqrt(1 - share) * own + np.sqrt(share) * shared)
    return Season(day / DAYS_PER_MONTH, y, np.zeros(day.size, np.int64), rate, noise)


def _rates(rng: np.random.Generator, priors: Priors, days: int) -> np.ndarray:
    rate = np.empty(days)
    at, before = 0, -1
    while at < days:
        weight = np.array(priors.opening if at == 0 else priors.label_weight)
        if before == FLAT:
            weight[FLAT] = 0.0
        label = int(rng.choice(3, p=weight / weight.sum()))
        sd = (priors.slope_sd[0], priors.flat_share * priors.band, priors.slope_sd[1])[label]
        # a change grows likelier with a segment's age (Erlang-2); the first one's began before the record
        steps = rng.choice([1, 2]) if at == 0 else 2
        end = at + max(1, int(rng.gamma(steps, 0.5 * DAYS_PER_MONTH / priors.hazard[label])))
        rate[at:end] = rng.normal(priors.slope_mean[label], sd)
        at, before = end, label
    return rate
