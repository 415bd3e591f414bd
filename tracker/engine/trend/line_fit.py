"""Fit one line a series: the most probable knots, then slopes, offsets, jumps by penalised least squares.

The fit serves to read single tests (residuals) and to take offsets and jumps out of the levels before the
recursion, which knows neither. All of it is fitted at once, not one after the other.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from tracker.engine.trend.grid import Grid
from tracker.engine.trend.messages import START_SD
from tracker.engine.trend.observations import Floats, Ints
from tracker.engine.trend.priors import FLAT
from tracker.engine.trend.recursion import Forward
from tracker.engine.trend.rules import Rules


@dataclass(frozen=True)
class Knots:
    """Segments of the best path, latest first: (Q, S) first knot's time, end's time, label; -1 is padding."""

    start: Floats
    end: Floats
    label: Ints


def best_path(result: Forward, grid: Grid) -> Knots:
    """Follow the best predecessors back from the end."""
    size, series = grid.valid.shape
    columns = np.arange(series)
    at = np.full(series, size)
    follower_is_flat = np.zeros(series, bool)
    starts, ends, labels = [], [], []
    while (at > 0).any():
        live = at > 0
        choice = result.back[follower_is_flat.astype(int), at, columns]
        width = np.maximum(at, 1)
        label, first = choice // width, choice % width
        starts.append(np.where(live, grid.time[first, columns], 0.0))
        ends.append(np.where(live, grid.time[at, columns], 0.0))
        labels.append(np.where(live, label, -1))
        follower_is_flat = live & (label == FLAT)
        at = np.where(live, first, 0)
    return Knots(np.array(starts), np.array(ends), np.array(labels))


@dataclass(frozen=True)
class LineFit:
    """The fitted line.

    Attributes
    ----------
    line : (D, S) level of each day without offsets and jumps.
    effect, effect_sd : (P, S) coefficients of the covariates, in percent.
    parameters : (S,) number of levels, slopes and covariates that the data had to pay for.
    """

    line: Floats
    effect: Floats
    effect_sd: Floats
    parameters: Floats


@dataclass(frozen=True)
class Covariates:
    """What else moves the level: columns `x` (P, D, S) by day, and within days.

    `inner` (S, P, P) and `inner_y` (S, P) hold the sums over the rows of a day around its mean, at one noise;
    `mean`, `sd` (P, S) are the priors of the coefficients.
    """

    x: Floats
    inner: Floats
    inner_y: Floats
    mean: Floats
    sd: Floats

    def of(self, series: Ints) -> Covariates:
        """Return those of some of the series."""
        return Covariates(
            self.x[:, :, series],
            self.inner[series],
            self.inner_y[series],
            self.mean[:, series],
            self.sd[:, series],
        )


def fit(  # noqa: PLR0913, PLR0917 - the parts of one least-squares problem
    t: Floats,
    y: Floats,
    precision: Floats,
    path: Knots,
    rules: Rules,
    start: Floats,
    covariates: Covariates | None,
) -> LineFit:
    """Fit level, slopes and covariates given the knots; `y`, `precision` (D, S) by day, before any offset."""
    segments = np.clip(t[None] - path.start[:, None], 0.0, (path.end - path.start)[:, None])
    columns = np.concatenate([np.ones((1, *t.shape)), segments])
    label = np.maximum(path.label, 0)
    series = np.arange(t.shape[1])
    mean = np.concatenate([start[None], rules.mean[label, series]])
    tight = np.concatenate([np.full((1, start.size), START_SD**-2), rules.precision[label, series]])
    lines = columns.shape[0]
    if covariates is not None:
        columns = np.concatenate([columns, covariates.x])
        mean = np.concatenate([mean, covariates.mean])
        tight = np.concatenate([tight, covariates.sd**-2])
    x = np.ascontiguousarray(columns.transpose(2, 0, 1))
    weighted = x * precision.T[:, None, :]
    normal = weighted @ x.transpose(0, 2, 1)
    right = (weighted @ y.T[:, :, None])[:, :, 0]
    if covariates is not None:
        normal[:, lines:, lines:] += covariates.inner
        right[:, lines:] += covariates.inner_y
    unpenalised = np.einsum("sqq->sq", normal).copy()
    np.einsum("sqq->sq", normal)[...] += tight.T
    right += (tight * mean).T
    inverse = np.linalg.inv(normal)
    solution = (inverse @ right[:, :, None])[:, :, 0]
    line = (solution[:, None, :lines] @ x[:, :lines])[:, 0].T
    sd = np.sqrt(np.einsum("sqq->sq", inverse))
    # each coefficient costs the share of it that the data, not the prior, decided
    paid = (1.0 - np.einsum("sqq->sq", inverse) * tight.T) * (unpenalised > 0)
    return LineFit(line, solution[:, lines:].T, sd[:, lines:].T, np.clip(paid, 0.0, 1.0).sum(axis=1))
