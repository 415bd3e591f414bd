"""Many noisy effects pooled: the mixed model with one random effect a series, in one dimension.

Series i has rows y_i = h_i (x_i' b + u_i) + e_i with one column h_i, u_i ~ N(0, tau^2), e ~ N(0, sigma^2).
Its restricted likelihood (REML, Patterson & Thompson 1971; Laird & Ware 1982) needs h'h, h'y and y'y of each
series only, and has a closed form but for the ratio tau^2 / sigma^2, which is searched for. Where a general
fitter (`roster_opinion`) finds an answer, it is this one, in a thousandth of the time; where it gives
up, at tau = 0 above all, this one does not.

An estimate of tau of zero does not say that series are alike. So the restricted likelihood is also
integrated over tau, flat in tau (Gelman 2006, Bayesian Analysis 1:515), and over sigma^2, flat in its
logarithm: that gives tau an interval, and each series' own effect an error that is never zero.
Beyond any value of tau the likelihood falls as tau^-(series - columns). With one series more than columns
it can't be integrated: there the end of the grid, tau = 1000 sigma, bounds it, and the interval says no more.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from tracker.engine.trend.observations import Floats
from tracker.errors import TooFewError

_RATIOS = np.concatenate([[0.0], np.geomspace(1e-6, 1e6, 97)])
_ROOTS = np.sqrt(_RATIOS)
_FINER = np.linspace(0, 1, 129)
"""Shares of the probability at which the grid is made finer."""
_SLICES = (np.arange(15) + 0.5) / 15
"""Middles of equal slices of the probability of sigma^2."""
WITHIN = 0.9
"""Probability of the intervals."""
_LEFT_OUT = np.linspace(0, 1 - WITHIN, 101)
_GOLDEN = (5**0.5 - 1) / 2


@dataclass(frozen=True)
class Pooled:
    """Fixed effects `b` (P,) with `covariance` (P, P), the variance `between` series, and of the errors.

    Attributes
    ----------
    own : (S,) each series' own departure u_i, shrunken, at the estimate of tau.
    between_low, between_high
        The shortest interval of tau that holds 90 %, squared; `between_low` may be 0, `between_high` not.
    own_mean, own_sd
        (S,) mean and standard deviation of each series' own effect over all tau: the departure u_i and what
        of the fixed effects was asked for.
    """

    b: Floats
    covariance: Floats
    between: float
    residual: float
    own: Floats
    between_low: float
    between_high: float
    own_mean: Floats
    own_sd: Floats


def pool(y: Sequence[Floats], h: Sequence[Floats], x: Floats, *, counted: ArrayLike | None = None) -> Pooled:
    """Fit the model by REML, and integrate over tau.

    Parameters
    ----------
    y, h : one array a series, of equal lengths; each h has a value other than zero.
    x : (S, P) what each series is.
    counted : (P,) how much of each fixed effect counts into a series' own effect; default: nothing.

    Raises
    ------
    TooFewError
        If there are no more series than columns, or the columns are collinear.
    """
    count, columns = x.shape
    if count <= columns or np.linalg.matrix_rank(x) < columns:
        raise TooFewError("effects can't be pooled: too few series, or all alike")
    size = np.array([float(one @ one) for one in h])
    theta = np.array([float(a @ b) for a, b in zip(h, y, strict=True)]) / size
    rest = sum(float(one @ one) for one in y) - float((size * theta**2).sum())
    rows = sum(one.size for one in y)
    stats = _Stats(x, size, theta, max(rest, 0.0), rows - columns)
    ratio = _best(stats)
    weight = 1.0 / (ratio + 1.0 / size)
    b, inverse, scale = stats.solve(weight)
    own = ratio * weight * (theta - x @ b)
    roots, mass = _posterior(stats.log_density)
    low, high = _interval(stats, roots, mass, from_none=ratio == 0)
    part = np.zeros(columns) if counted is None else np.asarray(counted, float)
    mean, sd = _own(stats, roots, mass, part)
    variances = float(scale * ratio), float(scale)
    return Pooled(b, scale * inverse, *variances, own, low**2, high**2, mean, sd)


def shrink(values: Floats, errors: Floats) -> tuple[Floats, Floats]:
    """Return mean and standard deviation of true effects, drawn towards zero for how much they differ.

    values_i ~ N(theta_i, errors_i^2), theta_i ~ N(0, tau^2), integrated over tau, flat in tau. A single
    value has no finite answer: the end of the grid, tau = 1000 errors, bounds it.
    """
    scale = float(np.exp(np.log(errors**2).mean()))

    def log_density(roots: Floats) -> Floats:
        variance = scale * roots[:, None] ** 2 + errors**2
        return np.asarray(-0.5 * (np.log(variance) + values**2 / variance).sum(axis=1), float)

    roots, mass = _posterior(log_density)
    within = scale * roots[:, None] ** 2
    share = within / (within + errors**2)
    return _moments(mass, share * values, share * errors**2)


@dataclass(frozen=True)
class _Stats:
    x: Floats
    size: Floats
    theta: Floats
    rest: float
    freedom: int

    def solve(self, weight: Floats) -> tuple[Floats, Floats, Floats]:
        """Return the generalised least squares estimate, its unscaled covariance and sigma^2.

        `weight` is (..., S), and so are the answers: (..., P), (..., P, P), (...).
        """
        columns = self.x.shape[1]
        products = (self.x[:, :, None] * self.x[:, None, :]).reshape(-1, columns * columns)
        inverse = np.linalg.inv((weight @ products).reshape(*weight.shape[:-1], columns, columns))
        b = (inverse @ ((weight * self.theta) @ self.x)[..., None])[..., 0]
        quadratic = (weight * (self.theta - b @ self.x.T) ** 2).sum(axis=-1) + self.rest
        return b, np.asarray(inverse, float), np.maximum(quadratic / self.freedom, 1e-12)

    def minus_two_log(self, ratio: ArrayLike) -> Floats:
        """Return -2 times the profiled restricted log likelihood of each ratio, up to a constant."""
        given = np.asarray(ratio, float)[..., None]
        _, inverse, scale = self.solve(1.0 / (given + 1.0 / self.size))
        penalty = np.log1p(given * self.size).sum(axis=-1) - np.linalg.slogdet(inverse)[1]
        return np.asarray(self.freedom * np.log(scale) + penalty, float)

    def log_density(self, roots: Floats) -> Floats:
        """Return the log density of tau / sigma, flat in tau and log sigma^2, sigma^2 integrated out.

        d tau = sigma d(tau / sigma) takes one degree of freedom from the power of the quadratic form.
        """
        _, _, scale = self.solve(1.0 / (roots[:, None] ** 2 + 1.0 / self.size))
        return np.asarray(0.5 * (np.log(scale) - self.minus_two_log(roots**2)), float)


def _posterior(log_density: Callable[[Floats], Floats]) -> tuple[Floats, Floats]:
    """Return values of tau / sigma and the probability of each: the grid, finer where the probability is."""
    value = log_density(_ROOTS)
    height = np.exp(value - value.max())
    steps = 0.5 * (height[1:] + height[:-1]) * np.diff(_ROOTS)
    below = np.concatenate([[0.0], np.cumsum(steps)]) / steps.sum()
    roots = np.unique(np.concatenate([_ROOTS, np.interp(_FINER, below, _ROOTS)]))
    value = log_density(roots)
    half = 0.5 * np.diff(roots)
    mass = np.exp(value - value.max()) * (np.append(half, 0.0) + np.insert(half, 0, 0.0))
    return roots, mass / mass.sum()


def _interval(stats: _Stats, roots: Floats, mass: Floats, *, from_none: bool) -> tuple[float, float]:
    """Return the shortest interval of tau that holds `WITHIN`; `from_none`: that which begins at 0."""
    from scipy.special import gammaincinv

    _, _, scale = stats.solve(1.0 / (roots[:, None] ** 2 + 1.0 / stats.size))
    # sigma^2 = half the quadratic form / a gamma variable, whatever the ratio
    sigma = np.sqrt(0.5 * stats.freedom / gammaincinv(0.5 * max(stats.freedom - 1, 1), _SLICES))
    tau = ((roots * np.sqrt(scale))[:, None] * sigma).ravel()
    order = np.argsort(tau, kind="stable")
    part = np.repeat(mass / sigma.size, sigma.size)[order]
    below = np.concatenate([[0.0], np.cumsum(part) - 0.5 * part])
    value = np.concatenate([[0.0], tau[order]])
    low, high = (np.interp(_LEFT_OUT + more, below, value) for more in (0.0, WITHIN))
    best = 0 if from_none else int(np.argmin(high - low))
    return float(low[best]), float(high[best])


def _own(stats: _Stats, roots: Floats, mass: Floats, counted: Floats) -> tuple[Floats, Floats]:
    """Return mean and standard deviation (S,) of `counted` @ b + u_i over all tau."""
    weight = 1.0 / (roots[:, None] ** 2 + 1.0 / stats.size)
    b, inverse, scale = stats.solve(weight)
    variance = scale * stats.freedom / max(stats.freedom - 3, 1)
    share = roots[:, None] ** 2 * weight
    mean = (b @ counted)[:, None] + share * (stats.theta - b @ stats.x.T)
    lean = counted - share[:, :, None] * stats.x
    unknown = np.einsum("rsp,rpq,rsq->rs", lean, inverse, lean, optimize=True)
    return _moments(mass, mean, variance[:, None] * (share / stats.size + unknown))


def _moments(mass: Floats, mean: Floats, variance: Floats) -> tuple[Floats, Floats]:
    """Return mean and standard deviation (S,) of a mixture: rows (R, S) with probabilities `mass` (R,)."""
    middle = mass @ mean
    return middle, np.sqrt(mass @ (variance + (mean - middle) ** 2))


def _best(stats: _Stats) -> float:
    """Return the ratio tau^2 / sigma^2 of the largest likelihood: the best of a grid, then golden section."""
    values = stats.minus_two_log(_RATIOS)
    place = int(np.argmin(values))
    if place == 0 and values[0] <= values[1]:
        return 0.0
    low = float(np.log(_RATIOS[max(place - 1, 1)]))
    high = float(np.log(_RATIOS[min(place + 1, _RATIOS.size - 1)]))
    for _ in range(60):
        left, right = high - _GOLDEN * (high - low), low + _GOLDEN * (high - low)
        at_left, at_right = stats.minus_two_log(np.exp([left, right]))
        if at_left < at_right:
            high = right
        else:
            low = left
    return float(np.exp((low + high) / 2))
