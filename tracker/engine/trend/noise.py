"""The noise of a swimmer's tests: a first guess of its size, and whitening of correlated weeks.

The errors are white noise plus an Ornstein-Uhlenbeck process. Its Kalman filter turns any column x into
innovations that are independent with variance 1, and does so linearly: applied to the ones, the times and
the levels it turns a line with correlated errors into an ordinary regression whose sums still add up over
segments. Where a segment begins, the filter remembers the old line for about the correlation time as if it
were the new one; the error is the change of slope times that time, a tenth of the noise at most.
"""

from __future__ import annotations

import numpy as np

from tracker.engine.trend.observations import Floats
from tracker.engine.trend.priors import Priors

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


def whitened(t: Floats, y: Floats, precision: Floats, ou_variance: Floats, months: float) -> Floats:
    """Return ones, times, levels whitened, and the log of the scaling, as one (4, D, S) array.

    Parameters
    ----------
    t, y : (D, S) months, percent.
    precision : (D, S) inverse variances of the white part, 0 for padding.
    ou_variance : (S,) stationary variance of the correlated part.
    months : its time constant.
    """
    out = np.zeros((4, *t.shape))
    columns = np.stack([np.ones_like(t), t, y])
    if not ou_variance.any():
        root = np.sqrt(precision)
        out[:3] = columns * root
        out[3] = np.log(np.maximum(precision, 1e-300)) * (precision > 0) / 2
        return out
    decay = np.ones_like(t)
    decay[1:] = np.exp(-np.diff(t, axis=0) / months)
    state = np.zeros((3, t.shape[1]))
    variances, variance = np.empty_like(t), ou_variance
    for i in range(t.shape[0]):
        if i:
            state *= decay[i]
            variance = ou_variance + decay[i] ** 2 * (variance - ou_variance)
        variances[i] = variance
        # the white part as precision: a padded day (precision 0) has no gain and no innovation
        gain = variance * precision[i]
        total = 1.0 + gain
        gain /= total
        innovation = np.subtract(columns[:, i], state, out=out[:3, i])
        state += gain * innovation
        variance = variance / total
    scale = np.sqrt(precision / (1.0 + variances * precision))
    out[:3] *= scale
    out[3] = np.log(np.where(precision > 0, scale, 1.0))
    return out
