"""How noisy one ordinary test of each series is, shrunk towards the roster's."""

from __future__ import annotations

import numpy as np

from tracker.trend.observations import Floats
from tracker.trend.priors import Priors

MAD_TO_SD = 1.4826
MAD_DF = 0.37
"""A scale from a median of absolute values is worth this many degrees of freedom a value."""


def first_guess(t: Floats, y: Floats, weight: Floats, priors: Priors) -> Floats:
    """Return the noise (S,) from the distance of each day to the line through its neighbours.

    r_i = (y_(i+1) - p y_i - q y_(i+2)) / sqrt(1 + p^2 + q^2), p and q the weights of interpolation at the
    uneven dates: zero for any straight line. All arrays (D, S), days first; weight 0 is padding.
    """
    if t.shape[0] < 3:
        return np.full(t.shape[1], priors.noise)
    whole = t[2:] - t[:-2]
    valid = (weight[2:] > 0) & (whole > 0)
    p = np.where(valid, (t[2:] - t[1:-1]) / np.where(valid, whole, 1.0), 0.5)
    q = 1.0 - p
    inverse = 1.0 / np.maximum(weight, 1e-12)
    spread = inverse[1:-1] + p * p * inverse[:-2] + q * q * inverse[2:]
    r = np.abs(y[1:-1] - p * y[:-2] - q * y[2:]) / np.sqrt(spread)
    count = valid.sum(axis=0)
    ordered = np.sort(np.where(valid, r, np.inf), axis=0)
    low = np.maximum(count - 1, 0) // 2
    middle = np.take_along_axis(ordered, np.stack([low, count // 2 * (count > 0)]), 0)
    middle = np.where(count > 0, np.where(np.isfinite(middle), middle, 0.0).mean(axis=0), 0.0)
    return shrunk((MAD_TO_SD * middle) ** 2 * MAD_DF * count, MAD_DF * count, priors)


def shrunk(squares: Floats, freedom: Floats, priors: Priors) -> Floats:
    """Return the noise (S,) from sums of squares and their df, shrunk to the prior (Smyth 2004)."""
    total = priors.noise_df * priors.noise**2 + squares
    return np.asarray(np.sqrt(total / (priors.noise_df + np.maximum(freedom, 0.0))))
