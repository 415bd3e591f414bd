"""What is believed of segments before any test, spread over a batch: labels, slopes, how long they last."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from tracker.engine.trend.grid import Grid
from tracker.engine.trend.observations import Floats, Ints
from tracker.engine.trend.priors import FLAT, Priors

NEVER = -1e30


@dataclass(frozen=True)
class Rules:
    """The priors of segments, spread over a batch: (3, S) unless said otherwise."""

    mean: Floats
    precision: Floats
    log_weight: Floats
    """(3,) of a label after a segment that is not flat."""
    first: Floats
    """(3,) added to it for the segment that the record begins in."""
    after_flat: float
    """Added to the log weight of the other labels after a flat segment."""
    hazard: Floats
    """(3,) changes per month, one over the mean length."""

    def of(self, series: Ints) -> Rules:
        """Return the rules of some of the series."""
        return replace(self, mean=self.mean[:, series], precision=self.precision[:, series])

    def constant(self) -> Floats:
        """Return the part (3, S) of a segment's log weight that depends on its label only."""
        return self.log_weight[:, None] + 0.5 * (np.log(self.precision) - self.mean**2 * self.precision)

    def log_survival(self, length: Floats, *, first: bool = False, ageing: bool = True) -> Floats:
        """Return the log probability (3, ...) that a segment lasts longer than `length` months.

        Erlang-2 with mean 1 / hazard; of the `first` segment of a record, which began before it at no
        particular moment, the time that is left (the renewal process' equilibrium). Without `ageing` it is
        exponential with the same mean, for the first one too.
        """
        hazard = self.hazard.reshape(-1, *[1] * length.ndim)
        if not ageing:
            return np.asarray(-hazard * length)
        x = 2.0 * hazard * length
        return np.asarray(np.log1p(0.5 * x if first else x) - x)


def rules_of(priors: Priors, band: Floats) -> Rules:
    """Spread `priors` over the series with the half-bands `band` (S,)."""
    gain, slip = priors.slope_sd
    ones = np.ones_like(band)
    sd = np.stack([gain * ones, priors.flat_share * band, slip * ones])
    weight = np.array(priors.label_weight)
    return Rules(
        np.array(priors.slope_mean)[:, None] * ones,
        1.0 / sd**2,
        np.log(weight),
        np.log(np.array(priors.opening)) - np.log(weight),
        float(-np.log1p(-weight[FLAT])),
        np.array(priors.hazard),
    )


@dataclass(frozen=True)
class Durations:
    """How long segments last, by their first and last knot; the same for all hypotheses.

    Attributes
    ----------
    ending : (G + 1) arrays (3, b, S): log probability of a change in the interval before knot b, given that
        the segment began at each knot before it; `NEVER` at padding.
    odds : the same of how often the segment lasts beyond b for once that it ends there.
    last : (3, G, S) log probability that the segment from each knot lasts to the end.
    """

    ending: tuple[Floats, ...]
    odds: tuple[Floats, ...]
    last: Floats


def durations(grid: Grid, rules: Rules, *, looks: bool = False, ageing: bool = True) -> Durations:
    """Return the durations of all segments between the knots of a grid; `looks`: their odds, too."""
    size, series = grid.valid.shape
    none = np.zeros((3, 0, series))
    lasting, ending, odds = none, [none], [none]
    for b in range(1, size + 1):
        length = grid.time[b] - grid.time[:b]
        now = rules.log_survival(length, ageing=ageing)
        now[:, 0] = rules.log_survival(length[0], first=True, ageing=ageing)
        if b < size:
            before = np.concatenate([lasting, np.zeros((3, 1, series))], axis=1)
            ended = np.maximum(-np.expm1(np.minimum(now - before, 0.0)), 1e-300)
            # what a change has by reaching the interval at all, and by happening in it
            ending.append(np.where(grid.valid[b], before + np.log(ended), NEVER))
            if looks:
                odds.append(np.where(grid.valid[b], np.exp(now - before) / ended, 0.0))
        lasting = now
    return Durations(tuple(ending), tuple(odds), lasting)


def add_to_hypotheses(log_weight: Floats, values: Floats) -> None:
    """Add values (3, B, S) of the series to the log weights (3, B, H S) of their hypotheses."""
    series = values.shape[-1]
    shape = (*log_weight.shape[:-1], log_weight.shape[-1] // series, series)
    wide = log_weight.reshape(shape)
    wide += values[:, :, None]
