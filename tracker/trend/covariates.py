"""Offsets of kinds of tests and jumps at dated events, as columns beside the line."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from tracker.trend.observations import Floats, Ints, Observations
from tracker.trend.priors import Priors

UNKNOWN_OFFSET = (0.0, 3.0)
"""Prior mean and sd, in percent, of a feature nothing is known about."""


@dataclass(frozen=True)
class Columns:
    """Covariates of the rows of a batch.

    Attributes
    ----------
    x : (Q, S, N) features of each test relative to its series' reference kind, one step a dated event, the
        season.
    mean, sd : (Q, S) priors of their coefficients, percent.
    features : number of features among the Q.
    reference : (S,) commonest kind of each series.
    """

    x: Floats
    mean: Floats
    sd: Floats
    features: int
    reference: Ints

    def __len__(self) -> int:
        return int(self.x.shape[0])

    def shift(self, effect: Floats) -> Floats:
        """Return what the covariates add to each test (S, N), given their coefficients (Q, S)."""
        return np.asarray(np.einsum("qsn,qs->sn", self.x, effect))


def columns_of(observations: Observations, priors: Priors) -> Columns:
    """Build the columns: the design relative to the commonest kind, a step at each jump, the season."""
    series, width = observations.t.shape
    used = np.arange(width) < observations.count[:, None]
    kinds, features = observations.design.shape
    cell = observations.kind + kinds * np.arange(series)[:, None]
    tally = np.bincount(cell.ravel(), used.ravel().astype(float), kinds * series).reshape(series, kinds)
    reference = tally.argmax(axis=1)
    relative = observations.design[observations.kind] - observations.design[reference][:, None, :]
    x = [(relative * used[:, :, None]).transpose(2, 0, 1)]
    prior = [priors.offsets.get(name, UNKNOWN_OFFSET) for name in observations.features]
    events = observations.jumps.shape[1]
    if events:
        with np.errstate(invalid="ignore"):
            after = observations.t[None] >= observations.jumps.T[:, :, None]
        x.append(after & used[None])
    prior += [(0.0, priors.jump_sd)] * events
    if priors.season_sd:
        turn = 2 * np.pi * observations.t / 12.0
        x.append(np.stack([np.sin(turn), np.cos(turn)]) * used)
        prior += [(wave, priors.season_sd) for wave in priors.season]
    ones = np.ones(series)
    mean, sd = [m * ones for m, _ in prior], [s * ones for _, s in prior]
    shape = (len(prior), series)
    stacked = np.concatenate(x).astype(float)
    return Columns(stacked, np.reshape(mean, shape), np.reshape(sd, shape), features, reference)


def usual_precision(observations: Observations, priors: Priors) -> Floats:
    """Return the weight (S, N) of each test times its kind's usual precision."""
    if not observations.features:
        return observations.weight
    log_ratio = np.log([priors.noise_ratio.get(name, 1.0) for name in observations.features])
    return np.asarray(
        observations.weight * np.exp(-2.0 * (observations.design @ log_ratio))[observations.kind]
    )
