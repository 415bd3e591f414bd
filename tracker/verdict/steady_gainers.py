"""How often a cut calls steady gainers flat, on a roster's own calendars."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from tracker.series.rows import Rows
from tracker.settings import Settings
from tracker.trend.error_rates import ErrorRates, false_plateaus
from tracker.verdict.judge import Taught, examine

SEED = 20_260_630


def steady_gainers_called_flat(
    rows: Rows, taught: Taught, settings: Settings, *, swimmers: int = 200
) -> ErrorRates:
    """Return how often swimmers gaining steadily at twice the band would be called flat on these dates.

    Simulated on the roster's own calendars, with its own noise and weekly looks, and judged as everybody
    is, by what was taught; seeded, so the same roster gives the same answer.
    """
    case = examine(rows, taught, settings, past=False)
    noise = float(np.sqrt(np.mean(case.answer.noise**2)))
    priors = replace(case.taught.priors, band=settings.band)
    return false_plateaus(
        case.observations, priors, np.random.default_rng(SEED), noise=noise, swimmers=swimmers
    )
