"""Choose the levels of the words for declared rates of false ones, by simulation on a roster's dates."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from tracker.app.learned_priors import learned_priors
from tracker.app.session import Session
from tracker.engine.series.from_swims import COLUMNS, rows_from_swims
from tracker.engine.series.rows import Rows
from tracker.engine.trend.error_rates import ErrorRates, false_words
from tracker.engine.verdict.judge import LearnedPriors, examine
from tracker.errors import UsageError
from tracker.model.swim import Swim
from tracker.settings import Settings

SEED = 20_260_630


def false_words_of(
    rows: Rows, learned: LearnedPriors, settings: Settings, *, swimmers: int = 100
) -> ErrorRates:
    """Return how often steady swimmers would be called what they are not on these dates.

    Simulated on the roster's own calendars, with its own noise and weekly looks, and judged as everybody
    is, by the learned priors; seeded, so the same roster gives the same answer.
    """
    case = examine(rows, learned, settings, past=False)
    noise = float(np.sqrt(np.mean(case.answer.noise**2)))
    priors = replace(case.learned.priors, band=settings.band)
    rng = np.random.default_rng(SEED)
    return false_words(case.observations, priors, rng, noise=noise, swimmers=swimmers)


def calibrate(session: Session, *, swimmers: int = 100) -> ErrorRates:
    """Return the rates of false words at several levels.

    Raises
    ------
    UsageError
        If there is no swimmer with a record long enough for a verdict.
    """
    learned = learned_priors(session)
    with session.store.read() as reader:
        swims = reader.columns(Swim, COLUMNS)
    rows, _ = rows_from_swims(swims, session.settings, until=session.today)
    found = None if rows is None else false_words_of(rows, learned, session.settings, swimmers=swimmers)
    if found is None or not found.swimmers:
        raise UsageError("nobody has a record long enough for a verdict yet; log more tests first")
    return found
