"""Reliability of a test: what repeats on neighbouring days say of its typical error.

Formulas of sports measurement (Hopkins 2000, Sports Med 30:1; Weir 2005, J Strength Cond Res 19:231):
typical error = SD of the differences / sqrt(2); minimal detectable change = z * sqrt(2) * typical error.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

Z95, Z90 = 1.959964, 1.644854


@dataclass(frozen=True)
class Reliability:
    """Of one kind of test, all in percent; `low` and `high` are 90 % limits of the typical error."""

    typical_error: float
    low: float
    high: float
    pairs: int

    @property
    def detectable(self) -> float:
        """Change between two single tests that 95 % of unchanged pairs stay below."""
        return float(Z95 * np.sqrt(2.0) * self.typical_error)


def from_pairs(first: ArrayLike, second: ArrayLike) -> Reliability | None:
    """Return the reliability from repeats of one test, times in seconds; None with fewer than three pairs."""
    difference = 100.0 * np.log(np.asarray(second, float) / np.asarray(first, float))
    if difference.size < 3:
        return None
    error = float(np.std(difference, ddof=1) / np.sqrt(2.0))
    low, high = limits(error, difference.size - 1)
    return Reliability(error, low, high, int(difference.size))


def limits(error: float, freedom: float, z: float = Z90) -> tuple[float, float]:
    """Return the limits of a standard deviation known from `freedom` degrees of freedom.

    Chi-square points by Wilson & Hilferty (1931), PNAS 17:684; within 2 % from 3 degrees of freedom on.
    """
    part = 2.0 / (9.0 * freedom)
    upper = freedom * (1 - part + z * np.sqrt(part)) ** 3
    lower = freedom * max(1 - part - z * np.sqrt(part), 1e-3) ** 3
    return float(error * np.sqrt(freedom / upper)), float(error * np.sqrt(freedom / lower))
