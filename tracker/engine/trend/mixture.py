"""Normal mixtures: their distribution, and how a test is read as ordinary, slow or mistyped.

Ordinary tests N(0, s^2); slow days N(-2.5 s, (2 s)^2), one-sided; typing errors N(0, (15 s)^2). A test
enters the line with its expected precision and its expected level (one step of expectation-maximisation), so
its pull is bounded.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from tracker.engine.trend.observations import Floats
from tracker.engine.trend.priors import Priors

_SERIES = (0.254829592, -0.284496736, 1.421413741, -1.453152027, 1.061405429)
_POLE = 0.3275911


def normal_cdf(x: Floats) -> Floats:
    """Return P(Z <= x) for a standard normal Z, elementwise, in the precision of `x`.

    The absolute error is below 1e-7, in single precision below 4e-7.

    Abramowitz & Stegun (1964), Handbook of Mathematical Functions, formula 7.1.26 (error of erf at most
    1.5e-7).
    """
    u = np.abs(x) * math.sqrt(0.5)  # no numpy number, which would make doubles of single precision
    k = 1.0 / (1.0 + _POLE * u)
    poly = np.full_like(k, _SERIES[-1])
    for coefficient in _SERIES[-2::-1]:
        poly *= k
        poly += coefficient
    upper = 0.5 * poly * k * np.exp(-np.minimum(u * u, 700.0))
    return np.asarray(np.where(x > 0, 1.0 - upper, upper))


def classes(slope: Floats, sd: Floats, band: Floats) -> Floats:
    """Return the probabilities (3, ...) that a normal slope lies above, inside, below the band."""
    below = normal_cdf((-band - slope) / sd)
    above = normal_cdf((slope - band) / sd)
    return np.stack([above, np.maximum(1.0 - above - below, 0.0), below])


def log_sum_exp(values: Floats, axis: int | tuple[int, ...]) -> Floats:
    """Return log(sum(exp(values))) over `axis`; minus infinity where everything is."""
    top = np.max(values, axis=axis, keepdims=True)
    top = np.where(np.isfinite(top), top, 0.0)
    total = np.sum(np.exp(values - top), axis=axis)
    with np.errstate(divide="ignore"):
        return np.asarray(np.log(total) + np.squeeze(top, axis=axis))


SHIFTS = (0.0, -2.5, 0.0)
WIDTHS = (1.0, 2.0, 15.0)
ORDINARY, SLOW, TYPING = 0, 1, 2


@dataclass(frozen=True)
class Reading:
    """How single tests are read, all (S, N).

    Attributes
    ----------
    share : (3, S, N) probability of being ordinary, slow, mistyped.
    precision : expected inverse variance, in units of one ordinary test's.
    lift : to be added to the level, in noises, for the part of it that is a slow day.
    square : expected squared residual in noises, each kind of test measured by its own width.
    """

    share: Floats
    precision: Floats
    lift: Floats
    square: Floats


def read(z: Floats, priors: Priors) -> Reading:
    """Read tests from their residuals `z` (S, N) in noises."""
    ordinary = 1.0 - priors.slow_day - priors.typing_error
    weights = (ordinary, priors.slow_day, priors.typing_error)
    distance = np.stack([(z - m) / w for m, w in zip(SHIFTS, WIDTHS, strict=True)])
    density = np.stack(
        [
            p / w * np.exp(-0.5 * np.minimum(d * d, 1400.0))
            for p, w, d in zip(weights, WIDTHS, distance, strict=True)
        ]
    )
    share = density / np.maximum(density.sum(axis=0), 1e-300)
    inverse = np.array(WIDTHS)[:, None, None] ** -2.0
    precision = np.maximum((share * inverse).sum(axis=0), 1e-6)
    lift = share[SLOW] * -SHIFTS[SLOW] * inverse[SLOW] / precision
    return Reading(share, precision, lift, (share * distance**2).sum(axis=0))
