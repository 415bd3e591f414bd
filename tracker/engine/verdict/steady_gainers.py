"""How often somebody who gains steadily would be called flat, by simulation on the roster's own dates."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from tracker.engine.series.rows import Rows
from tracker.engine.trend.error_rates import ErrorRates, false_plateaus
from tracker.engine.verdict.judge import LearnedPriors, examine
from tracker.settings import Settings

SEED = 20_260_630


def steady_gainers_called_flat(
    rows: Rows, learned: LearnedPriors, settings: Settings, *, swimmers: int = 200
) -> ErrorRates:
    """Return how often swimmers gaining steadily at twice the band would be called flat on these dates.

    Simulated on the roster's own calendars, with its own noise and weekly looks, and judged as everybody
    is, by what was taught; seeded, so the same roster gives the same answer.
    """
    case = examine(rows, learned, settings, past=False)
    noise = float(np.sqrt(np.mean(case.answer.noise**2)))
    priors = replace(case.learned.priors, band=settings.band)
    return false_plateaus(
        case.observations, priors, np.random.default_rng(SEED), noise=noise, swimmers=swimmers
    )
