"""Seasons of invented swimmers with the truth beside them.

Levels are percent (up = faster), times months. `quick`, `slow` and `joint` are the three populations that
the figures to reach are stated for; all the ranges stand in `Style`.
"""

from __future__ import annotations

from dataclasses import dataclass, field, replace

import numpy as np
from numpy.typing import NDArray

from tracker.engine.trend.observations import Observations, observations_from_lists
from tracker.model.units import DAYS_PER_MONTH

Floats = NDArray[np.float64]
STILL = 0.2
"""A true rate of at most this size, percent per month, is flat."""


@dataclass(frozen=True)
class Style:
    """Ranges a population is drawn from. Rates in percent per month, times in weeks, shares of swimmers."""

    gain: tuple[float, float] = (0.8, 2.4)
    slip: tuple[float, float] = (0.4, 1.2)
    slip_share: float = 0.1
    weeks: tuple[float, float] = (26, 130)
    shortest: int = 8
    """Weeks a spell lasts at least; `usual_spell` on average."""
    usual_spell: float = 26.0
    noise: tuple[float, float] = (0.8, 1.4)
    smooth: float = 0.25
    """Share of slow-downs that take 6 to 14 weeks."""
    layoff: float = 0.2
    """Swimmers with one unmarked break of 3 to 6 weeks."""
    loss: tuple[float, float] = (1.0, 2.5)
    """By how many percent the level is lower after it."""
    correlated: float = 0.0
    """Swimmers of whose variance 0.3 to 0.5 is shared over 0.5 to 1.5 months."""
    season: float = 0.0
    """Swimmers with an annual wave of 0.2 to 0.5 percent."""
    typing: float = 0.0
    """Swimmers with 1 to 3 tests typed wrong by 8 to 30 percent."""
    joint: bool = False
    """400s and 200s in two pools, some in wetsuits."""


QUICK = Style()
SLOW = replace(
    QUICK, gain=(0.35, 1.0), slip=(0.3, 0.8), shortest=13, usual_spell=45.0,
    smooth=0.15, layoff=0.0, correlated=0.4, season=0.4, typing=0.4,
)  # fmt: skip
JOINT = replace(SLOW, joint=True)
FEATURES = ("t200", "LCM", "wetsuit")
DESIGN = np.array([[a, b, c] for c in (0, 1) for b in (0, 1) for a in (0, 1)], float)
"""Kind a + 2 b + 4 c is a 200 (a), in a 50 m pool (b), in a wetsuit (c)."""


@dataclass(frozen=True)
class Season:
    """One swimmer: tests and truth.

    `t`, `y`, `kind` by test; `rate` (percent per month) by day from day 0 to the last test; `stretches`
    (start, end) in months of true flatness; `noise` the sd of an ordinary test; `back` the month of the
    return from a break that cost speed.
    """

    t: Floats
    y: Floats
    kind: NDArray[np.int64]
    rate: Floats
    noise: float
    stretches: tuple[tuple[float, float], ...] = field(default_factory=tuple)
    back: float | None = None

    @property
    def now(self) -> float:
        """True rate at the last test."""
        return float(self.rate[-1])

    @property
    def onset(self) -> float:
        """When the present spell, flat or not, began, months; 0 for the record's beginning."""
        flat = np.abs(self.rate) <= STILL
        change = np.nonzero(flat != flat[-1])[0]
        return float((change[-1] + 1) / DAYS_PER_MONTH) if change.size else 0.0


def seasons(rng: np.random.Generator, size: int, style: Style) -> list[Season]:
    """Draw `size` swimmers of a style."""
    return [season(rng, style) for _ in range(size)]


def batch(swimmers: list[Season], style: Style) -> Observations:
    """Return the swimmers' tests as observations."""
    if not style.joint:
        return observations_from_lists([s.t for s in swimmers], [s.y for s in swimmers])
    return observations_from_lists(
        [s.t for s in swimmers],
        [s.y for s in swimmers],
        kind=[s.kind for s in swimmers],
        design=DESIGN,
        features=FEATURES,
    )


def season(rng: np.random.Generator, style: Style) -> Season:
    """Draw one swimmer."""
    days = int(7 * rng.uniform(*style.weeks))
    rate = _rates(rng, style, days)
    level = np.concatenate([[0.0], np.cumsum(rate[:-1] / DAYS_PER_MONTH)])
    dates = calendar_of(rng, days)
    back: int | None = None
    if rng.random() < style.layoff and days > 150:
        back = int(rng.integers(60, days - 40))
        dates = dates[(dates >= back) | (dates < back - int(rng.integers(21, 43)))]
        level[back:] -= rng.uniform(*style.loss)
    if rng.random() < style.season:
        phase = rng.uniform(0, 2 * np.pi)
        level += rng.uniform(0.2, 0.5) * np.sin(2 * np.pi * np.arange(days + 1) / 365.25 + phase)
    noise = float(rng.uniform(*style.noise))
    kind = np.zeros(dates.size, np.int64)
    offset = np.zeros(dates.size)
    if style.joint:
        dates, kind, offset = _kinds(rng, dates)
    y = level[dates] + offset + errors_of(rng, style, dates, noise)
    rate = rate[: dates[-1] + 1]
    months = None if back is None else back / DAYS_PER_MONTH
    return Season(dates / DAYS_PER_MONTH, y, kind, rate, noise, flat_stretches(rate), months)


def _rates(rng: np.random.Generator, style: Style, days: int) -> Floats:
    """Return the rate of each day from 0 to `days`: spells of gaining, flat and sometimes slipping."""
    usual = rng.uniform(*style.gain)
    lengths = _spells(rng, days + 1, 7 * style.shortest, 7 * style.usual_spell)
    rate = np.empty(0)
    flat = rng.random() < 0.35
    for length in lengths:
        if flat:
            value = rng.normal(0.0, 0.04)
        elif rng.random() < style.slip_share:
            value = -rng.uniform(*style.slip)
        else:
            value = float(np.clip(usual * rng.uniform(0.75, 1.25), *style.gain))
        spell = np.full(length, value)
        if flat and rate.size and rate[-1] > STILL and rng.random() < style.smooth:
            slowing = min(int(7 * rng.uniform(6, 14)), length // 2)
            spell[:slowing] = np.linspace(rate[-1], value, slowing)
        rate = np.concatenate([rate, spell])
        flat = not flat
    return rate


def _spells(rng: np.random.Generator, days: int, shortest: int, usual: float) -> list[int]:
    """Cut `days` into spells of at least `shortest` days, `usual` days on average."""
    count = 1 + int(rng.poisson(max(days / usual - 1.0, 0.0)))
    count = max(1, min(count, days // shortest))
    spare = days - count * shortest
    cuts = np.sort(rng.integers(0, spare + 1, count - 1))
    return [int(n) + shortest for n in np.diff(np.concatenate([[0], cuts, [spare]]))]


def calendar_of(rng: np.random.Generator, days: int) -> NDArray[np.int64]:
    """Return test days from 0 to `days`: weekly, fortnightly or ragged."""
    kind = rng.integers(3)
    if kind < 2:
        step = 7 if kind == 0 else 14
        planned = np.arange(0, days + 1, step)
        dates = planned[rng.random(planned.size) > 0.1] + rng.integers(0, 3, planned.size)[:1]
    else:
        gaps = 1 + rng.exponential(rng.uniform(5, 14), 4 * days // 5 + 20).astype(int)
        dates = np.cumsum(gaps) - gaps[0]
    dates = np.unique(np.clip(dates, 0, days))
    return dates.astype(np.int64) if dates.size >= 8 else np.arange(0, days + 1, 7)


def _kinds(
    rng: np.random.Generator, dates: NDArray[np.int64]
) -> tuple[NDArray[np.int64], NDArray[np.int64], Floats]:
    """Return dates, kinds and offsets: 400s and 200s in two pools, perhaps in a wetsuit."""
    both = rng.random(dates.size) < 0.4
    mostly_200 = rng.random(dates.size) < rng.uniform(0.1, 0.5)
    dates = np.sort(np.concatenate([dates, dates[both]]))
    first = np.concatenate([[True], np.diff(dates) > 0])
    is_200 = np.where(first, np.repeat(mostly_200, 1 + both), True)
    is_200[np.nonzero(~first)[0] - 1] = False
    if rng.random() < 0.5:
        long_course = np.sin(2 * np.pi * dates / 365.25 + rng.uniform(0, 6.3)) > rng.uniform(-0.3, 0.7)
    else:
        long_course = np.repeat(
            rng.random(int(first.sum())) < 0.3, np.diff(np.append(np.nonzero(first)[0], dates.size))
        )
    suit = np.zeros(dates.size, bool)
    if rng.random() < 0.35:
        suit = long_course & (rng.random(dates.size) < rng.uniform(0.3, 0.9))
    own = rng.normal([5.0, -2.0, 5.0], [1.0, 0.7, 1.5])
    kind = is_200 + 2 * long_course + 4 * suit
    return dates, kind.astype(np.int64), DESIGN[kind] @ own


def errors_of(rng: np.random.Generator, style: Style, dates: NDArray[np.int64], noise: float) -> Floats:
    """Return the errors of the tests: normal, t with 4 df or one-sided slow days, a third each."""
    day, inverse = np.unique(dates, return_inverse=True)
    shared = np.zeros(day.size)
    share = 0.0
    if rng.random() < style.correlated:
        share, months = rng.uniform(0.3, 0.5), rng.uniform(0.5, 1.5)
        decay = np.exp(-np.diff(day) / DAYS_PER_MONTH / months)
        shocks = rng.normal(size=day.size)
        shared[0] = shocks[0]
        for i, p in enumerate(decay):
            shared[i + 1] = p * shared[i] + np.sqrt(1 - p * p) * shocks[i + 1]
    form, own = _heavy(rng, day.size, rng.integers(3)), rng.normal(size=dates.size)
    alone = np.bincount(inverse)[inverse] == 1
    single = np.where(alone, form[inverse], np.sqrt(0.5) * form[inverse] + np.sqrt(0.5) * own)
    errors = noise * (np.sqrt(1 - share) * single + np.sqrt(share) * shared[inverse])
    if rng.random() < style.typing:
        wrong = rng.choice(dates.size, min(dates.size, int(rng.integers(1, 4))), replace=False)
        errors[wrong] += rng.choice([-1, 1], wrong.size) * rng.uniform(8, 30, wrong.size)
    return np.asarray(errors)


def _heavy(rng: np.random.Generator, size: int, law: int) -> Floats:
    if law == 0:
        return rng.normal(size=size)
    if law == 1:
        return np.asarray(rng.standard_t(4, size) / np.sqrt(2.0))
    slow = rng.random(size) < 0.12
    return rng.normal(size=size) * 0.9 - slow * np.abs(rng.normal(2.5, 1.0, size))


def flat_stretches(rate: Floats) -> tuple[tuple[float, float], ...]:
    """Return start and end, in months, of each stretch of true flatness of six weeks or longer."""
    flat = np.concatenate([[False], np.abs(rate) <= STILL, [False]])
    edges = np.nonzero(flat[1:] != flat[:-1])[0].reshape(-1, 2)
    return tuple(
        (float(a / DAYS_PER_MONTH), float((b - 1) / DAYS_PER_MONTH)) for a, b in edges if b - a >= 42
    )
