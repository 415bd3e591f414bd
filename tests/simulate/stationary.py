"""A world that is the same at every date: spells follow each other as a Markov chain, and so does the end.

The populations of `seasons.py` end in a spell of eight weeks or more; here, and in any season cut at a random
date, the last change may be a day old, as it is for whoever looks today.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from tests.simulate.seasons import QUICK, Season, calendar_of, errors_of, flat_stretches
from tracker.model.units import DAYS_PER_MONTH

Floats = NDArray[np.float64]
GAINING, FLAT, SLIPPING = 0, 1, 2
LONG_COURSE = 2
"""The kind of a 400 in a 50 m pool (`seasons.DESIGN`)."""
SHORTEST = 7
"""Days that a spell lasts at least."""


@dataclass(frozen=True)
class World:
    """Ranges that a swimmer is drawn from; each trouble's default is "no such trouble".

    `gain` is a swimmer's usual rate, of which each gaining spell has a share of `around`; `spell` is the
    swimmer's mean length of spells in months; `shares` how often a spell gains, is flat, slips. After a flat
    one comes a gaining one in 4 of 5 cases, else a slipping one.
    """

    weeks: tuple[float, float] = (40, 130)
    spell: tuple[float, float] = (7.0, 9.0)
    gain: tuple[float, float] = (0.35, 1.6)
    around: tuple[float, float] = (0.6, 1.4)
    slowest: float = 0.3
    fastest: float = 2.4
    slip: tuple[float, float] = (0.3, 1.0)
    flat: float = 0.05
    """Standard deviation of a flat spell's rate."""
    shares: tuple[float, float, float] = (0.5, 0.38, 0.12)
    after_flat: tuple[float, float, float] = (0.8, 0.0, 0.2)
    noise: tuple[float, float] = (0.8, 1.4)
    correlated: float = 0.2
    """Swimmers of whose variance 0.3 to 0.5 is shared over 0.5 to 1.5 months."""
    season: float = 0.0
    """Amplitude of an annual wave, any phase, percent; the true rate is told without it."""
    drift: float = 0.0
    """How far the rate wanders inside a spell, percent a month per root month."""
    layoff: float = 0.0
    """Swimmers with one unmarked break of 3 to 6 weeks that costs 1 to 2.5 %."""
    switch: bool = False
    """Whether all go to a 50 m pool for good on some day; it is slower by 2 % (sd 0.7)."""


STATIONARY = World()
WORLDS = {
    "stationary": STATIONARY,
    "correlated weeks": replace(STATIONARY, correlated=1.0),
    "a season of 1 %": replace(STATIONARY, season=1.0),
    "drifting rates": replace(STATIONARY, drift=0.15),
    "unmarked lay-offs": replace(STATIONARY, layoff=0.5),
    "a switch of pool": replace(STATIONARY, switch=True),
}


def lives(rng: np.random.Generator, size: int, world: World) -> list[Season]:
    """Draw `size` swimmers of a world."""
    return [life(rng, world) for _ in range(size)]


def life(rng: np.random.Generator, world: World) -> Season:
    """Draw one swimmer."""
    days = int(7 * rng.uniform(*world.weeks))
    rate = spells(rng, world, days)
    level = np.concatenate([[0.0], np.cumsum(rate[:-1] / DAYS_PER_MONTH)])
    dates = calendar_of(rng, days)
    back: int | None = None
    if rng.random() < world.layoff and days > 150:
        back = int(rng.integers(60, days - 40))
        dates = dates[(dates >= back) | (dates < back - int(rng.integers(21, 43)))]
        level[back:] -= rng.uniform(1.0, 2.5)
    level += world.season * np.sin(2 * np.pi * np.arange(days + 1) / 365.25 + rng.uniform(0, 2 * np.pi))
    kind = np.zeros(dates.size, np.int64)
    if world.switch:
        kind[dates >= rng.integers(60, days - 40)] = LONG_COURSE
    noise = float(rng.uniform(*world.noise))
    errors = errors_of(rng, replace(QUICK, correlated=world.correlated), dates, noise)
    y = level[dates] + errors + np.where(kind > 0, rng.normal(-2.0, 0.7), 0.0)
    rate = rate[: dates[-1] + 1]
    months = None if back is None else back / DAYS_PER_MONTH
    return Season(dates / DAYS_PER_MONTH, y, kind, rate, noise, flat_stretches(rate), months)


def spells(rng: np.random.Generator, world: World, days: int) -> Floats:
    """Return the rate of each day from 0 to `days`."""
    usual = rng.uniform(*world.gain)
    mean = rng.uniform(*world.spell) * DAYS_PER_MONTH
    pieces: list[Floats] = []
    label = int(rng.choice(3, p=world.shares))
    missing = days + 1
    while missing > 0:
        length = min(max(SHORTEST, int(rng.exponential(mean))), missing)
        pieces.append(np.full(length, _rate(rng, world, label, usual)))
        missing -= length
        label = int(rng.choice(3, p=world.after_flat if label == FLAT else world.shares))
    if world.drift:
        step = world.drift / np.sqrt(DAYS_PER_MONTH)
        pieces = [piece + np.cumsum(rng.normal(0, step, piece.size)) for piece in pieces]
    return np.concatenate(pieces)


def _rate(rng: np.random.Generator, world: World, label: int, usual: float) -> float:
    if label == FLAT:
        return float(rng.normal(0.0, world.flat))
    if label == SLIPPING:
        return -float(rng.uniform(*world.slip))
    return float(np.clip(usual * rng.uniform(*world.around), world.slowest, world.fastest))


def cut_at_random(rng: np.random.Generator, season: Season, tests: int = 8, months: float = 2.4) -> Season:
    """Return the season up to a date uniform in its second half, with so many tests and months at least.

    A season that hardly has as many is left whole.
    """
    end = float(season.t[-1])
    for _ in range(50):
        seen = int((season.t <= rng.uniform(0.5 * end, end)).sum())
        if seen >= tests and season.t[seen - 1] - season.t[0] >= months:
            return until(season, seen)
    return season


def until(season: Season, seen: int) -> Season:
    """Return the season as it was at the test number `seen`."""
    rate = season.rate[: round(float(season.t[seen - 1]) * DAYS_PER_MONTH) + 1]
    back = season.back if season.back is not None and season.back <= season.t[seen - 1] else None
    return replace(
        season, t=season.t[:seen], y=season.y[:seen], kind=season.kind[:seen], rate=rate,
        stretches=flat_stretches(rate), back=back,
    )  # fmt: skip


def class_of(rate: Floats, band: float) -> NDArray[np.int64]:
    """Return 0 above the band, 1 inside, 2 below."""
    return np.where(np.abs(rate) <= band, FLAT, np.where(rate > 0, GAINING, SLIPPING))


def weeks_since_change(season: Season, band: float) -> float:
    """Return the weeks since the true class last changed; infinite where it never did."""
    classes = class_of(season.rate, band)
    change = np.nonzero(classes != classes[-1])[0]
    return float(classes.size - 1 - change[-1]) / 7 if change.size else float("inf")
