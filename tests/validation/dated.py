"""Rosters that end at a random date, where the last change may be a day old: the user's case."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from tests.simulate.scoring import BAND
from tests.simulate.seasons import Season, seasons
from tests.simulate.stationary import WORLDS, class_of, cut_at_random, lives, weeks_since_change
from tests.validation.door import case_of
from tests.validation.part import Scale
from tests.validation.populations import STYLES, Judged, from_first_test
from tests.validation.tally import Floats
from tracker.engine.trend.priors import BUILT_IN
from tracker.engine.verdict.judge import LearnedPriors

MONTH_DAYS = 30
SEEDS = {
    "stationary": 9301, "quick": 9302, "slow": 9303, "joint": 9304, "correlated weeks": 9305,
    "a season of 1 %": 9306, "drifting rates": 9307, "unmarked lay-offs": 9308, "a switch of pool": 9309,
}  # fmt: skip
SIZES = {"stationary": 900, "quick": 600, "slow": 600, "joint": 600}
VARIANT = 300


@dataclass(frozen=True)
class Truth:
    """What is so of S swimmers at the last test.

    `rate` percent a month, `now` and `month_ago` the class at the last test and thirty days before, `weeks`
    since the class last changed (infinite: it never did).
    """

    rate: Floats
    now: np.ndarray
    month_ago: np.ndarray
    weeks: Floats


def size_of(name: str, scale: Scale) -> int:
    """Return how many swimmers a population has."""
    return scale.of(SIZES.get(name, VARIANT), 30)


def drawn_at_random_dates(name: str, size: int) -> list[Season]:
    """Draw a population and cut every season at a date uniform in its second half."""
    rng = np.random.default_rng(SEEDS[name])
    whole = lives(rng, size, WORLDS[name]) if name in WORLDS else seasons(rng, size, STYLES[name])
    return [from_first_test(cut_at_random(rng, one)) for one in whole]


@lru_cache
def dated(name: str, size: int, *, learned: bool = True) -> Judged:
    """Return a population at random dates, judged by priors learned from it or built in."""
    swimmers = drawn_at_random_dates(name, size)
    case = case_of(swimmers, None if learned else built_in_for(swimmers), past=False)
    return Judged(swimmers, case)


def built_in_for(swimmers: list[Season]) -> LearnedPriors:
    """Return the built-in priors as one gets them who has no roster."""
    return LearnedPriors(BUILT_IN, case_of(swimmers[:2], past=False).learned.reference)


def truth_of(swimmers: list[Season]) -> Truth:
    """Return what is so."""
    rate = np.array([s.now for s in swimmers])
    before = np.array([s.rate[max(s.rate.size - 1 - MONTH_DAYS, 0)] for s in swimmers])
    weeks = np.array([weeks_since_change(s, BAND) for s in swimmers])
    return Truth(rate, class_of(rate, BAND), class_of(before, BAND), weeks)
