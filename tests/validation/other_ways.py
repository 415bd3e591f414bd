"""What one would use otherwise, made to answer the same questions: is the rate flat now, and when was it?

Each gives a rate now with its standard error, of which the three probabilities are the normal (or Student's)
mass above, inside and below the band, and the pieces of its line, of which those that hardly rise or fall are
its flat stretches.
"""

from __future__ import annotations

import warnings
from collections.abc import Callable
from contextlib import redirect_stdout
from dataclasses import dataclass
from io import StringIO
from itertools import groupby

import numpy as np
from scipy.stats import norm
from scipy.stats import t as student

from tests.simulate.scoring import BAND
from tests.validation.tally import Floats
from tracker.model.units import DAYS_PER_MONTH

WEEK = 7 / DAYS_PER_MONTH
MOST_KNOTS = 5
"""Breakpoints that a piecewise regression may have."""


@dataclass(frozen=True)
class Piece:
    """A straight piece of a line, months; slope in percent per month."""

    start: float
    end: float
    slope: float


@dataclass(frozen=True)
class Said:
    """What a way says of one swimmer; no pieces where it knows the present only."""

    p: tuple[float, float, float]
    """Probabilities that the present rate is above, inside, below the band."""
    pieces: tuple[Piece, ...] = ()

    @property
    def p_flat(self) -> float:
        return self.p[1]

    def flat(self, limit: float, weeks: float = 6.0) -> tuple[Piece, ...]:
        """Return the stretches of pieces no steeper than `limit`, neighbours joined, of `weeks` or longer."""
        runs = [list(run) for calm, run in groupby(self.pieces, lambda p: abs(p.slope) <= limit) if calm]
        whole = (Piece(run[0].start, run[-1].end, 0.0) for run in runs)
        return tuple(one for one in whole if one.end - one.start >= weeks * WEEK)


Way = Callable[[Floats, Floats], Said]


def classes(rate: float, error: float, freedom: float = np.inf) -> tuple[float, float, float]:
    """Return the probabilities above, inside and below the band; a quarter, a half, a quarter of nothing."""
    if not (np.isfinite(rate) and np.isfinite(error)):
        return 0.25, 0.5, 0.25
    law = student(freedom) if np.isfinite(freedom) else norm()
    error = max(error, 1e-9)
    above, below = float(law.sf((BAND - rate) / error)), float(law.cdf((-BAND - rate) / error))
    return above, max(1.0 - above - below, 0.0), below


def line(t: Floats, y: Floats) -> tuple[float, float, float]:
    """Return slope, standard error, df by least squares; NaN below four tests."""
    if t.size < 4 or np.ptp(t) == 0:
        return float("nan"), float("nan"), 1.0
    centred = t - t.mean()
    slope = float(centred @ y / (centred @ centred))
    left = y - y.mean() - slope * centred
    freedom = t.size - 2
    return slope, float(np.sqrt(left @ left / freedom / (centred @ centred))), float(freedom)


def last_weeks(t: Floats, y: Floats, weeks: float = 12.0) -> Said:
    """Least squares on the last twelve weeks."""
    rows = t >= t[-1] - weeks * WEEK
    return Said(classes(*line(t[rows], y[rows])))


def pelt(t: Floats, y: Floats) -> Said:
    """`ruptures`: PELT with the linear-regression cost, penalty 3 s^2 log n; the last piece's line.

    The pieces may jump. The continuous cost ("clinear") joins noisy samples, knows no dates.
    """
    import ruptures

    noise = 1.4826 * float(np.median(np.abs(np.diff(y, 2)))) / np.sqrt(6.0)
    signal = np.column_stack([y, np.ones(t.size), t])
    found = ruptures.Pelt(model="linear", min_size=4, jump=1).fit(signal)
    knots = found.predict(pen=3 * max(noise, 0.1) ** 2 * np.log(y.size))
    edges = list(zip([0, *knots[:-1]], knots, strict=True))
    pieces = tuple(Piece(t[a], t[min(b, t.size - 1)], line(t[a:b], y[a:b])[0]) for a, b in edges)
    return Said(classes(*line(t[edges[-1][0] :], y[edges[-1][0] :])), pieces)


def joined_lines(t: Floats, y: Floats) -> Said:
    """`piecewise-regression`: up to five breakpoints, their number by BIC; the last piece's slope."""
    import piecewise_regression

    # the library draws its starts from numpy's global state
    np.random.seed(1)  # noqa: NPY002, TID251
    # it prints its comparison whatever one asks for
    with warnings.catch_warnings(), redirect_stdout(StringIO()):
        warnings.simplefilter("ignore")
        fits = piecewise_regression.ModelSelection(t, y, max_breakpoints=MOST_KNOTS, n_boot=10, verbose=False)
        rows = [
            (m["bic"], i)
            for i, m in enumerate(fits.model_summaries)
            if m["converged"] and m["bic"] is not None
        ]
    count = min(rows)[1] if rows else 0
    if count == 0:
        straight = line(t, y)
        return Said(classes(*straight), (Piece(t[0], t[-1], straight[0]),))
    found = fits.models[count - 1].get_results()["estimates"]
    knots = [t[0], *sorted(found[f"breakpoint{k + 1}"]["estimate"] for k in range(count)), t[-1]]
    slopes = [float(found[f"alpha{k + 1}"]["estimate"] or np.nan) for k in range(count + 1)]
    pieces = tuple(map(Piece, knots[:-1], knots[1:], slopes))
    error = float(found[f"alpha{count + 1}"]["se"] or np.nan)
    return Said(classes(slopes[-1], error, t.size - 2 - 2 * count), pieces)


def local_trend(t: Floats, y: Floats) -> Said:
    """`statsmodels`: UnobservedComponents, a smooth local linear trend by week; its slope now and then."""
    from statsmodels.tsa.statespace.structural import UnobservedComponents

    week = np.round(t / WEEK).astype(int)
    grid = np.full(week[-1] + 1, np.nan)
    for w in np.unique(week):
        grid[w] = y[week == w].mean()
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        fit = UnobservedComponents(grid, "strend").fit(disp=False, maxiter=100)
    slopes = fit.smoothed_state[1] / WEEK  # the last one is the filtered one
    pieces = tuple(Piece(k * WEEK, (k + 1) * WEEK, float(slope)) for k, slope in enumerate(slopes[:-1]))
    error = float(np.sqrt(fit.smoothed_state_cov[1, 1, -1])) / WEEK
    return Said(classes(float(slopes[-1]), error), pieces)


WAYS: dict[str, tuple[str, Way]] = {
    "least squares, last 12 weeks": ("numpy", last_weeks),
    "ruptures PELT, linear cost": ("ruptures", pelt),
    "piecewise-regression, BIC": ("piecewise_regression", joined_lines),
    "statsmodels smooth local trend": ("statsmodels", local_trend),
}
"""Name -> (package it needs, how)."""
