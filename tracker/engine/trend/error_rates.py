"""Rates of false plateaus, by simulation and by the probabilities themselves.

Simulated swimmers gain steadily at a given rate, on the roster's dates, with its noise, slow days and share
of correlated weeks; each is looked at again and again as its tests come in, as a coach does. The rate is the
number of swimmers ever called flat per swimmer-year looked at.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from tracker.engine.trend.analyse import Effort, analyse
from tracker.engine.trend.mixture import SHIFTS, SLOW, WIDTHS
from tracker.engine.trend.observations import Floats, Ints, Observations
from tracker.engine.trend.priors import FLAT, Priors
from tracker.model.units import DAYS_PER_MONTH

CUTS = (0.70, 0.75, 0.80, 0.85, 0.90, 0.95)
FIRST_LOOK_TESTS, FIRST_LOOK_MONTHS = 8, 10 * 7 / DAYS_PER_MONTH
LOOK = 7 / DAYS_PER_MONTH
EFFORT = Effort()


@dataclass(frozen=True)
class ErrorRates:
    """False plateaus per swimmer-year at each of `cuts`, their Monte-Carlo errors, and the conditions."""

    cuts: tuple[float, ...]
    rate: tuple[float, ...]
    error: tuple[float, ...]
    swimmers: int
    years: float
    gain: float

    def cut(self, declared: float = 0.05) -> float:
        """Return the lowest cut whose rate is at most the declared one; the highest looked at if none is."""
        return next((c for c, r in zip(self.cuts, self.rate, strict=True) if r <= declared), self.cuts[-1])


def false_plateaus(  # noqa: PLR0913 - whose dates, judged how, doing what, how often
    calendars: Observations,
    priors: Priors,
    rng: np.random.Generator,
    *,
    gain: float | None = None,
    noise: float | None = None,
    swimmers: int = 100,
    every: float = LOOK,
) -> ErrorRates:
    """Simulate steady gainers on the calendars and count how often they are ever called flat.

    Parameters
    ----------
    calendars : the roster; only its dates are used. Series too short for a verdict are left out.
    priors : those the looks are judged by; the errors are drawn from them too.
    noise : typical noise of the simulated tests, percent, default the priors'. The judge does not know it.
    gain : percent per month, default twice the band.
    swimmers : how many; calendars are drawn with replacement.
    every : months between looks.
    """
    rate = 2 * priors.band if gain is None else gain
    column = np.arange(len(calendars))
    span = calendars.t[column, calendars.count - 1] - calendars.t[:, 0]
    fit = np.nonzero((calendars.count >= FIRST_LOOK_TESTS) & (span >= FIRST_LOOK_MONTHS))[0]
    if fit.size == 0:
        return ErrorRates(CUTS, (0.0,) * len(CUTS), (0.0,) * len(CUTS), 0, 0.0, rate)
    drawn = calendars.take(rng.choice(fit, swimmers))
    law = priors if noise is None else replace(priors, noise=noise)
    simulated = _steady(drawn, law, rng, rate)
    looks, owner = _looks(simulated, every)
    worst = np.zeros(swimmers)
    for start in range(0, owner.size, 4096):
        rows = owner[start : start + 4096]
        seen = simulated.take(rows).until(looks[start : start + 4096])
        np.maximum.at(worst, rows, analyse(seen, priors, effort=EFFORT).p[:, FLAT])
    years = float((simulated.t[np.arange(swimmers), simulated.count - 1] - FIRST_LOOK_MONTHS).sum() / 12.0)
    years = max(years, 1e-9)
    called = np.array([(worst >= cut).sum() for cut in CUTS])
    error = np.sqrt(np.maximum(called, 1)) / years
    return ErrorRates(CUTS, _floats(called / years), _floats(error), swimmers, years, rate)


def _floats(values: Floats) -> tuple[float, ...]:
    return tuple(float(v) for v in values)


def _steady(calendars: Observations, priors: Priors, rng: np.random.Generator, rate: float) -> Observations:
    """Return plain series on the calendars' dates: a line and errors as the priors have them."""
    t = calendars.t - calendars.t[:, :1]
    series = t.shape[0]
    noise = priors.noise * np.sqrt(priors.noise_df / rng.chisquare(priors.noise_df, series))
    share = rng.choice(priors.correlated, series, p=priors.correlated_weight)
    decay = np.exp(-np.diff(t, axis=1, prepend=t[:, :1]) / priors.correlation_months)
    shared = rng.normal(size=t.shape)
    for i in range(1, t.shape[1]):
        shared[:, i] = decay[:, i] * shared[:, i - 1] + np.sqrt(1 - decay[:, i] ** 2) * shared[:, i]
    own = rng.normal(size=t.shape)
    slow = rng.random(t.shape) < priors.slow_day
    own = np.where(slow, SHIFTS[SLOW] + WIDTHS[SLOW] * own, own)
    errors = noise[:, None] * (np.sqrt(1 - share)[:, None] * own + np.sqrt(share)[:, None] * shared)
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
