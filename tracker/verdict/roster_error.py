"""How wrong a roster's plateaus are expected to be, and the cut that keeps gainers from being called flat."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace

import numpy as np

from tracker.series.rows import Rows
from tracker.settings import Settings
from tracker.trend.error_rates import ErrorRates, expected_false, false_plateaus
from tracker.verdict.judge import Taught, examine
from tracker.verdict.verdict import Verdict

DECLARED = 0.05
"""False plateaus per swimmer-year that are put up with."""
SEED = 20_260_630


@dataclass(frozen=True)
class ExpectedFalse:
    """Of `called` plateaus this share is expected to be none, if the probabilities are true ones."""

    called: int
    share: float


def expected_false_plateaus(verdicts: Iterable[Verdict | None]) -> ExpectedFalse:
    """Return the Bayesian false discovery rate among the plateaus of a roster."""
    flat = np.array([one.p_flat for one in verdicts if one is not None and one.verdict == "plateau"])
    return ExpectedFalse(int(flat.size), expected_false(flat, 0.0))


def steady_gainers_called_flat(
    rows: Rows, taught: Taught, settings: Settings, *, swimmers: int = 200
) -> ErrorRates:
    """Return how often swimmers gaining steadily at twice the band would be called flat on these dates.

    Simulated on the roster's own calendars, with its own noise and weekly looks; seeded, so the
    same roster gives the same answer.
    """
    case = examine(rows, taught, settings, past=False)
    noise = float(np.sqrt(np.mean(case.answer.noise**2)))
    priors = replace(case.taught.priors, band=settings.band, noise=noise)
    return false_plateaus(case.observations, priors, np.random.default_rng(SEED), swimmers=swimmers)
