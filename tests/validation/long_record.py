"""Whether a long record dulls the tool: six months flat after two, ten and twenty years of weekly tests."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from tests.simulate.scoring import BAND
from tests.simulate.seasons import QUICK, Season, errors_of, flat_stretches
from tests.simulate.stationary import STATIONARY, spells
from tests.validation.door import looks, observed_of
from tests.validation.part import Part, Scale
from tests.validation.reliability import BUILT_IN_TEACHING
from tests.validation.table import Table
from tests.validation.tally import share, shown
from tracker.model.units import DAYS_PER_MONTH

SEED, SIZE = 9500, 100
YEARS = (2, 5, 10, 20)
FLAT, BEFORE, RATE = 6.0, 6.0, 0.8
"""Months flat at the end and of gaining before, and its rate in percent a month."""
GROUP = 25
"""Looks of long records are done so many swimmers at a time."""


def lasting(rng: np.random.Generator, years: float) -> Season:
    """Draw a record of so many years: spells as in the stationary world, then gaining, then flat."""
    days = int(years * 12 * DAYS_PER_MONTH)
    flat, gaining = int(FLAT * DAYS_PER_MONTH), int(BEFORE * DAYS_PER_MONTH)
    rate = spells(rng, STATIONARY, days)
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
    rows = []
    size = scale.of(SIZE, 4)
    for years in scale.some(YEARS):
        rng = np.random.default_rng(SEED)  # the same noise and laws as far as may be
        word, p, held = [], [], []
        for _ in range(0, size, GROUP):
            swimmers = [lasting(rng, years) for _ in range(min(GROUP, size))]
            end = max(float(s.t[-1]) for s in swimmers)
            seen = looks(*observed_of(swimmers, BUILT_IN_TEACHING), start=end - 0.5)
            last = np.array([np.flatnonzero(seen.owner == i)[-1] for i in range(len(swimmers))])
            word.append(seen.word[last])
            p.append(seen.p[last, 1])
            held.append((seen.rate[last, 0] <= 0.0) & (seen.rate[last, 2] >= 0.0))
        words, flat = np.concatenate(word), np.concatenate(p)
        rows.append((str(years), str(words.size), shown(share(words == 1), 2), shown(share(flat >= 0.80), 2),
                     f"{flat.mean():.2f}", shown(share(np.concatenate(held)), 2)))  # fmt: skip
    table = Table(
        "long_record",
        "Flat for six months after years of weekly tests",
        f"Records of so many years (seed {SEED}), one test in ten missed, spells as in the stationary world, "
        f"then {BEFORE:g} months gaining {RATE:g} %/month, then {FLAT:g} flat (inside ±{BAND}); judged at "
        "the last test, priors built in.",
        ("years", "swimmers", "called plateau", "P(flat) >= .80", "mean P(flat)", "90 % interval covers"),
        tuple(rows),
    )  # fmt: skip
    return Part((table,))
