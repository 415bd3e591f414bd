"""Rates of false words by simulation: how often a steady swimmer is called what they are not.

Simulated swimmers gain steadily, or stand still, on the roster's dates with its noise and slow days; once
with every test on its own, once with half of the variance shared by neighbouring weeks. Each is looked at
again and again as its tests come in, as a coach does. A rate is the number of swimmers ever called so per
swimmer-year looked at.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from tracker.engine.trend.analyse import analyse
from tracker.engine.trend.mixture import SHIFTS, SLOW, WIDTHS
from tracker.engine.trend.observations import Floats, Ints, Observations
from tracker.engine.trend.priors import FLAT, GAINING, SLIPPING, Priors
from tracker.model.units import DAYS_PER_MONTH

LEVELS = (0.60, 0.62, 0.65, 0.68, 0.70, 0.72, 0.75, 0.78, 0.80, 0.85, 0.90, 0.95)
SHARED, SHARED_MONTHS = 0.5, 1.0
"""Share of the variance that neighbouring weeks have in common in the harder simulation, and for how long."""
MOVING_AT = 0.75
"""A swimmer of whom a class is so probable is not called slowed: a word of a class comes first."""
FIRST_LOOK_TESTS, FIRST_LOOK_MONTHS = 8, 10 * 7 / DAYS_PER_MONTH
LOOK = 7 / DAYS_PER_MONTH
WORDS = 4
"""Gaining, plateau, slipping, slowed: the order of every first axis here."""


@dataclass(frozen=True)
class ErrorRates:
    """False words per swimmer-year, (4, L) at each of `levels`, and the conditions.

    `plain` with every test on its own, `correlated` with shared weeks; false are gaining, said of those who
    stand still, plateau and slowed, said of those who gain `gain` percent a month, and slipping, said of
    either (the worse). `error` is the Monte-Carlo error of one event in the years looked at.
    """

    levels: tuple[float, ...]
    plain: Floats
    correlated: Floats
    error: float
    swimmers: int
    years: float
    gain: float

    def enter(self, plain: float, correlated: float) -> tuple[float, ...]:
        """Return for each word the lowest level that holds both rates; the highest where none does."""
        holds = (self.plain <= plain) & (self.correlated <= correlated)
        # a rate by chance lower at a lower level than at a higher one does not count
        holds = np.logical_and.accumulate(holds[:, ::-1], axis=1)[:, ::-1]
        place = np.where(holds.any(axis=1), holds.argmax(axis=1), len(self.levels) - 1)
        return tuple(self.levels[i] for i in place)


def false_words(  # noqa: PLR0913 - whose dates, judged how, doing what, how often
    calendars: Observations,
    priors: Priors,
    rng: np.random.Generator,
    *,
    gain: float | None = None,
    noise: float | None = None,
    swimmers: int = 100,
    every: float = LOOK,
) -> ErrorRates:
    """Simulate steady swimmers on the calendars and count how often they are ever called something else.

    Parameters
    ----------
    calendars : the roster; only its dates are used. Series too short for a verdict are left out.
    priors : those the looks are judged by; the errors are drawn from them too.
    noise : typical noise of the simulated tests, percent, default the priors'. The judge does not know it.
    gain : percent per month of those who gain, default twice the band.
    swimmers : how many of each kind; calendars are drawn with replacement.
    every : months between looks.
    """
    rate = 2 * priors.band if gain is None else gain
    column = np.arange(len(calendars))
    span = calendars.t[column, calendars.count - 1] - calendars.t[:, 0]
    fit = np.nonzero((calendars.count >= FIRST_LOOK_TESTS) & (span >= FIRST_LOOK_MONTHS))[0]
    none = np.zeros((WORDS, len(LEVELS)))
    if fit.size == 0:
        return ErrorRates(LEVELS, none, none, 0.0, 0, 0.0, rate)
    drawn = calendars.take(rng.choice(fit, swimmers))
    law = priors if noise is None else replace(priors, noise=noise)
    years = float((drawn.t[np.arange(swimmers), drawn.count - 1] - drawn.t[:, 0] - FIRST_LOOK_MONTHS).sum())
    years = max(years / 12.0, 1e-9)
    plain, correlated = (
        _called(drawn, law, priors, rng, (rate, share, every)) / years for share in (0.0, SHARED)
    )
    return ErrorRates(LEVELS, plain, correlated, 1.0 / years, swimmers, years, rate)


def _called(
    calendars: Observations,
    law: Priors,
    priors: Priors,
    rng: np.random.Generator,
    doing: tuple[float, float, float],
) -> Floats:
    """Return how many are ever falsely called each word at each level (4, L).

    `doing`: the rate of those who gain, the share of variance that weeks have in common, months between
    looks.
    """
    rate, share, every = doing
    gaining = _highest(_steady(calendars, law, rng, rate, share), priors, every)
    still = _highest(_steady(calendars, law, rng, 0.0, share), priors, every)
    levels = np.array(LEVELS)

    def called(highest: Floats) -> Floats:
        return np.asarray((highest[:, None] >= levels).sum(axis=0), float)

    slips = np.maximum(called(gaining[:, SLIPPING]), called(still[:, SLIPPING]))
    return np.stack([called(still[:, GAINING]), called(gaining[:, FLAT]), slips, called(gaining[:, 3])])


def _highest(simulated: Observations, priors: Priors, every: float) -> Floats:
    """Return the highest probability (S, 4) of each word at any look."""
    looks, owner = _looks(simulated, every)
    out = np.zeros((len(simulated), WORDS))
    for start in range(0, owner.size, 4096):
        rows = owner[start : start + 4096]
        answer = analyse(simulated.take(rows).until(looks[start : start + 4096]), priors)
        slowed = np.where(answer.p.max(axis=1) >= MOVING_AT, 0.0, answer.p_slowed)
        np.maximum.at(out, rows, np.concatenate([answer.p, slowed[:, None]], axis=1))
    return out


def _steady(
    calendars: Observations, priors: Priors, rng: np.random.Generator, rate: float, share: float
) -> Observations:
    """Return plain series on the calendars' dates: a line and errors as the priors have them."""
    t = calendars.t - calendars.t[:, :1]
    noise = priors.noise * np.sqrt(priors.noise_df / rng.chisquare(priors.noise_df, t.shape[0]))
    decay = np.exp(-np.diff(t, axis=1, prepend=t[:, :1]) / SHARED_MONTHS)
    shared = rng.normal(size=t.shape)
    for i in range(1, t.shape[1]):
        shared[:, i] = decay[:, i] * shared[:, i - 1] + np.sqrt(1 - decay[:, i] ** 2) * shared[:, i]
    own = rng.normal(size=t.shape)
    slow = rng.random(t.shape) < priors.slow_day
    own = np.where(slow, SHIFTS[SLOW] + WIDTHS[SLOW] * own, own)
    errors = noise[:, None] * (np.sqrt(1 - share) * own + np.sqrt(share) * shared)
    plain = np.where(calendars.weight > 0, 1.0, 0.0)
    return Observations(t, rate * t + errors, plain, np.zeros(t.shape, np.int64), calendars.count)


def _looks(observations: Observations, every: float) -> tuple[Ints, Ints]:
    """Return for every look the number of tests seen and whose it is."""
    counts, owners = [], []
    for i, n in enumerate(observations.count):
        t = observations.t[i, :n]
        due = np.arange(FIRST_LOOK_MONTHS, t[-1] + every, every)
        seen = np.unique(np.searchsorted(t, due, side="right"))
        seen = seen[seen >= FIRST_LOOK_TESTS]
        counts.append(seen)
        owners.append(np.full(seen.size, i))
    return np.concatenate(counts), np.concatenate(owners)
