"""Neighbouring weeks share their form: turn correlated errors into independent ones.

The errors are white noise plus an Ornstein-Uhlenbeck process. Its Kalman filter turns any column x into
innovations that are independent with variance 1, and does so linearly: applied to the ones, the times and
the levels it turns a line with correlated errors into an ordinary regression whose sums still add up over
segments. Where a segment begins, the filter remembers the old line for about the correlation time as if it
were the new one; the error is the change of slope times that time, a tenth of the noise at most.
"""

from __future__ import annotations

import numpy as np

from tracker.trend.observations import Floats


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
