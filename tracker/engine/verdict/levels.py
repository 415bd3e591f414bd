"""From which probability on a word is said, and below which it is given up again."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from tracker.engine.trend.observations import Floats
from tracker.engine.verdict.verdict import Word
from tracker.model.units import DAYS_PER_MONTH
from tracker.settings import Settings

HELD = (Word.GAINING, Word.PLATEAU, Word.SLIPPING, Word.SLOWED)
"""The words that are held, in the order of every array of levels."""


@dataclass(frozen=True)
class Levels:
    """What it takes to say each word of `HELD`, and to keep it: (4,), or (S, 4) of S series."""

    enter: Floats
    leave: Floats

    def of(self, s: int, word: Word) -> tuple[float, float]:
        """Return what it takes for series `s` to say a word, and to keep it."""
        place = HELD.index(word)
        return float(self.enter[s, place]), float(self.leave[s, place])


LEAVE = 0.5
"""A word is kept while it is likelier than not; with the levels below it changes 2 to 4 times a year. Kept
down to 0.4 it would come back within four weeks 0.4 instead of 0.6 times a year, but a swimmer could then be
called what another word fits better."""
Typical = tuple[tuple[float, tuple[float, float, float, float]], ...]
"""Up to so many days between tests: what it takes to say gaining, plateau, slipping, slowed."""
WITH_BUILT_IN: Typical = (
    (10.0, (0.78, 0.75, 0.65, 0.88)),
    (21.0, (0.68, 0.70, 0.60, 0.84)),
    (np.inf, (0.62, 0.65, 0.60, 0.80)),
)
"""By simulation with a look at every week (`reports/validation`): swimmers gaining 0.5 % a month are called a
plateau at most 0.05 times a year, at most 0.15 where weeks share half of the variance; slipping and slowed
likewise. `calibrate` finds them for a roster's own dates and noise."""
WITH_LEARNED: Typical = (
    (10.0, (0.82, 0.78, 0.72, 0.88)),
    (21.0, (0.80, 0.75, 0.68, 0.86)),
    (np.inf, (0.75, 0.72, 0.60, 0.82)),
)
"""The same where the priors were learned from a roster: they know how fast it gains, and are surer. Those who
stand still are called gaining at most 0.05 times a year, 0.24 where weeks are correlated."""


def levels_of(gap: Floats, settings: Settings, *, learned: bool) -> Levels:
    """Return the levels of series whose tests lie `gap` (S,) months apart.

    `learned`: whether they are judged by priors that a roster taught.

    A level that the settings give (above 0) holds for all.
    """
    days = np.asarray(gap, float) * DAYS_PER_MONTH
    typical = WITH_LEARNED if learned else WITH_BUILT_IN
    row = np.searchsorted([limit for limit, _ in typical], days, side="left")
    enter = np.array([levels for _, levels in typical])[row]
    own = np.array(
        [settings.gaining_from, settings.plateau_from, settings.slipping_from, settings.slowed_from]
    )
    enter = np.where(own > 0, own, enter)
    return Levels(enter, np.minimum(enter, LEAVE))
