"""Whether a long record dulls the tool: six months flat after two, ten and twenty years of weekly tests."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from tests.simulate.scoring import BAND
from tests.simulate.seasons import QUICK, Season, errors_of, flat_stretches
from tests.simulate.stationary import STATIONARY, spells
from tests.validation.door import enough_at, observed_of
from tests.validation.part import Part, Scale
from tests.validation.reliability import BUILT_IN_TEACHING
from tests.validation.table import Table
from tests.validation.tally import share, shown
from tracker.engine.trend.analyse import analyse
from tracker.engine.trend.forecast import rhythm
from tracker.engine.verdict.held import held_words
from tracker.engine.verdict.levels import levels_of
from tracker.model.units import DAYS_PER_MONTH
from tracker.settings import DEFAULT

SEED, SIZE = 9500, 100
YEARS = (2, 5, 10, 20)
FLAT_WORD = 1
FLAT, BEFORE, RATE = 6.0, 6.0, 0.8
"""Months flat at the end and of gaining before, and its rate in percent a month."""
STEADY = 0.3
"""Percent a month of those without spells before."""
GROUP = 25
"""Looks of long records are done so many swimmers at a time."""


HISTORIES = ("spells", "steady")


def lasting(rng: np.random.Generator, years: float, history: str = "spells") -> Season:
    """Draw a record of so many years: spells as in the stationary world or none, then gaining, then flat."""
    days = int(years * 12 * DAYS_PER_MONTH)
    flat, gaining = int(FLAT * DAYS_PER_MONTH), int(BEFORE * DAYS_PER_MONTH)
    rate = spells(rng, STATIONARY, days) if history == "spells" else np.full(days + 1, STEADY)
    rate[days - flat - gaining : days - flat] = RATE
    rate[days - flat :] = 0.0
    level = np.concatenate([[0.0], np.cumsum(rate[:-1] / DAYS_PER_MONTH)])
    dates = np.arange(days % 7, days + 1, 7)
    dates = dates[(rng.random(dates.size) > 0.1) | (np.arange(dates.size) == dates.size - 1)]
    noise = float(rng.uniform(*QUICK.noise))
    y = level[dates] + errors_of(rng, replace(QUICK, correlated=0.2), dates, noise)
    start = dates[0]
    months = (dates - start) / DAYS_PER_MONTH
    rate = rate[start : dates[-1] + 1]
    return Season(months, y, np.zeros(dates.size, np.int64), rate, noise, flat_stretches(rate))


def run(scale: Scale) -> Part:
    """Judge records of all lengths at their end, and for long ones those who gain on."""
    size = scale.of(SIZE, 4)
    rows = [(str(years), history, *_row(years, history, size))
            for history in HISTORIES for years in scale.some(YEARS)]  # fmt: skip
    table = Table(
        "long_record",
        "Flat for six months after years of weekly tests",
        f"Records of so many years (seed {SEED}), one test in ten missed, spells as in the stationary world "
        f"or steady gains of {STEADY:g} %/month, "
        f"then {BEFORE:g} months gaining {RATE:g} %/month, then {FLAT:g} flat (inside ±{BAND}); judged at "
        "the last test, priors built in.",
        ("years", "before", "swimmers", "called plateau", "P(flat) >= .80", "mean P(flat)",
         "90 % interval covers", "noise found, of the true one"),
        tuple(rows),
    )  # fmt: skip
    return Part((table,))


def _row(years: int, history: str, size: int) -> tuple[str, ...]:
    rng = np.random.default_rng(SEED)  # the same noise and laws as far as may be
    word, p, held, noise = [], [], [], []
    for first in range(0, size, GROUP):
        swimmers = [lasting(rng, years, history) for _ in range(min(GROUP, size - first))]
        tests, priors = observed_of(swimmers, BUILT_IN_TEACHING)
        answer = analyse(tests, priors)
        levels = levels_of(rhythm(tests), DEFAULT, learned=False)
        word.append(held_words(answer, levels, enough_at(tests, answer)).word)
        p.append(answer.p_flat)
        held.append((answer.rate[:, 0] <= 0.0) & (answer.rate[:, 2] >= 0.0))
        noise.append(answer.noise / np.array([s.noise for s in swimmers]))
    words, flat = np.concatenate(word), np.concatenate(p)
    return (
        str(words.size), shown(share(words == FLAT_WORD), 2), shown(share(flat >= 0.80), 2),
        f"{flat.mean():.2f}", shown(share(np.concatenate(held)), 2), f"{np.concatenate(noise).mean():.2f}",
    )  # fmt: skip
