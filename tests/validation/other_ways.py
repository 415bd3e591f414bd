"""What one would use otherwise, made to answer the same question: how sure is it that the rate is flat now?

Each returns a rate with its standard error; P(flat) is the normal (or Student's) mass inside the band.
"""

from __future__ import annotations

import warnings
from collections.abc import Callable
from contextlib import redirect_stdout
from io import StringIO

import numpy as np
from scipy.stats import norm
from scipy.stats import t as student

from tests.simulate.scoring import BAND
from tests.validation.tally import Floats
from tracker.records.units import DAYS_PER_MONTH

WEEK = 7 / DAYS_PER_MONTH
Way = Callable[[Floats, Floats], float]


def inside(rate: float, error: float, freedom: float = np.inf) -> float:
    """Return the probability of the band around zero; 0.5 where nothing is known."""
    if not (np.isfinite(rate) and np.isfinite(error)):
        return 0.5
    law = student(freedom) if np.isfinite(freedom) else norm()
    error = max(error, 1e-9)
    return float(law.cdf((BAND - rate) / error) - law.cdf((-BAND - rate) / error))


def line(t: Floats, y: Floats) -> tuple[float, float, float]:
    """Return slope, standard error, df by least squares; NaN below four tests."""
    if t.size < 4 or np.ptp(t) == 0:
        return float("nan"), float("nan"), 1.0
    centred = t - t.mean()
    slope = float(centred @ y / (centred @ centred))
    left = y - y.mean() - slope * centred
    freedom = t.size - 2
    return slope, float(np.sqrt(left @ left / freedom / (centred @ centred))), float(freedom)


def last_weeks(t: Floats, y: Floats, weeks: float = 12.0) -> float:
    """Least squares on the last twelve weeks."""
    rows = t >= t[-1] - weeks * WEEK
    return inside(*line(t[rows], y[rows]))


def pelt(t: Floats, y: Floats) -> float:
    """`ruptures`: PELT with the linear-regression cost, penalty 3 s^2 log n; the last piece's line.

    The pieces may jump. The continuous cost ("clinear") joins noisy samples, knows no dates.
    """
    import ruptures

    noise = 1.4826 * float(np.median(np.abs(np.diff(y, 2)))) / np.sqrt(6.0)
    signal = np.column_stack([y, np.ones(t.size), t])
    found = ruptures.Pelt(model="linear", min_size=4, jump=1).fit(signal)
    knots = found.predict(pen=3 * max(noise, 0.1) ** 2 * np.log(y.size))
    start = knots[-2] if len(knots) > 1 else 0
    return inside(*line(t[start:], y[start:]))


def joined_lines(t: Floats, y: Floats) -> float:
    """`piecewise-regression`: up to two breakpoints, their number by BIC; the last piece's slope."""
    import piecewise_regression

    # the library draws its starts from numpy's global state
    np.random.seed(1)  # noqa: NPY002, TID251
    # it prints its comparison whatever one asks for
    with warnings.catch_warnings(), redirect_stdout(StringIO()):
        warnings.simplefilter("ignore")
        fits = piecewise_regression.ModelSelection(t, y, max_breakpoints=2, n_boot=10, verbose=False)
        rows = [
            (m["bic"], i)
            for i, m in enumerate(fits.model_summaries)
            if m["converged"] and m["bic"] is not None
        ]
    count = min(rows)[1] if rows else 0
    if count == 0:
        return inside(*line(t, y))
    best = fits.models[count - 1].get_results()["estimates"][f"alpha{count + 1}"]
    return inside(float(best["estimate"] or np.nan), float(best["se"] or np.nan), t.size - 2 - 2 * count)


def local_trend(t: Floats, y: Floats) -> float:
    """`statsmodels`: UnobservedComponents, a smooth local linear trend by week; its slope now."""
    from statsmodels.tsa.statespace.structural import UnobservedComponents

    week = np.round(t / WEEK).astype(int)
    grid = np.full(week[-1] + 1, np.nan)
    for w in np.unique(week):
        grid[w] = y[week == w].mean()
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        fit = UnobservedComponents(grid, "strend").fit(disp=False, maxiter=100)
    slope = float(fit.filtered_state[1, -1]) / WEEK
    return inside(slope, float(np.sqrt(fit.filtered_state_cov[1, 1, -1])) / WEEK)


WAYS: dict[str, tuple[str, Way]] = {
    "least squares, last 12 weeks": ("numpy", last_weeks),
    "ruptures PELT, linear cost": ("ruptures", pelt),
    "piecewise-regression, BIC": ("piecewise_regression", joined_lines),
    "statsmodels smooth local trend": ("statsmodels", local_trend),
}
"""Name -> (package it needs, how)."""
