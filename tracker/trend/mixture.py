"""Slow days and typing errors: a bounded mixture for the errors of single tests.

Ordinary tests N(0, s^2); slow days N(-2.5 s, (2 s)^2), one-sided; typing errors N(0, (15 s)^2). A test
enters the line with its expected precision and its expected level (one step of expectation-maximisation), so
its pull is bounded.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from tracker.trend.observations import Floats
from tracker.trend.priors import Priors

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
