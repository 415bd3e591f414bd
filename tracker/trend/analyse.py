"""Arrays in, posterior out."""

from __future__ import annotations

import numpy as np

from tracker.trend.alias import separated
from tracker.trend.answer import Answer
from tracker.trend.batch import Effort, in_batches
from tracker.trend.observations import Floats, Observations
from tracker.trend.priors import Priors


def analyse(
    observations: Observations,
    priors: Priors,
    *,
    band: Floats | float | None = None,
    past: bool = False,
    effort: Effort | None = None,
) -> Answer:
    """Return the posterior of every series.

    Parameters
    ----------
    observations : S series; see `tracker.trend.observations`.
    priors : built in or learned.
    band : half-width of "flat" in percent per month, one for all or (S,); default: the priors'.
    past : also find the flat stretches and the fitted line, on a finer grid.
    effort : grid and sweeps.
    """
    size = len(observations)
    bands = np.broadcast_to(np.asarray(priors.band if band is None else band, float), (size,))
    answer = in_batches(observations, priors, bands, past=past, effort=effort)
    if not observations.features:
        return answer
    return separated(
        observations, answer, lambda some, rows: in_batches(some, priors, bands[rows], effort=effort)
    )
