"""What the tests up to a knot say of the level there: one normal, the moments of the exact mixture."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from tracker.engine.trend.mixture import normal_cdf
from tracker.engine.trend.observations import Floats, Ints
from tracker.engine.trend.rules import NEVER

Index = slice | Ints

START_SD = 20.0
"""Prior standard deviation of the first level around the first tests' median, percent."""


@dataclass(frozen=True)
class Message:
    """What the tests before a knot say of the level there and of the slope that led to it; all (G, S).

    `log_weight` is the log probability of the tests before and of a change at the knot; the others are mean
    and variance of the level, mean and variance of the slope, their covariance. The slope is kept for the
    first columns only.
    """

    log_weight: Floats
    mean: Floats
    variance: Floats
    pace: Floats
    spread: Floats
    cross: Floats

    @classmethod
    def empty(cls, size: int, start: Floats, slopes: int) -> Message:
        """Return messages for `size` knots, only the first of which is reached."""
        shape = (size, start.size)
        rest = (np.zeros((size, slopes)) for _ in range(3))
        out = cls(np.full(shape, NEVER), np.zeros(shape), np.ones(shape), *rest)
        out.log_weight[0], out.mean[0], out.variance[0] = 0.0, start, START_SD**2
        return out

    def set(self, knot: int, level: Floats, slope: Floats) -> None:
        """Fill in one knot from (3, S) and (3, slopes) values in the order of the fields."""
        self.log_weight[knot], self.mean[knot], self.variance[knot] = level
        self.pace[knot], self.spread[knot], self.cross[knot] = slope

    def at(self, knot: int) -> tuple[Floats, Floats]:
        """Return mean and variance of the level at one knot, (S,)."""
        return self.mean[knot], self.variance[knot]


def folded_of(values: Floats) -> Floats:
    """Return precision, shift, and the log weight with the normal's constant in it, of a message's values."""
    log_weight, mean, variance = values[:3]
    out = np.empty((3, *mean.shape))
    np.divide(1.0, variance, out=out[0])
    np.multiply(mean, out[0], out=out[1])
    out[2] = log_weight - 0.5 * (mean * out[1] + np.log(variance))
    return out


def shares(log_weight: Floats) -> tuple[Floats, Floats]:
    """Return the largest log weight along the last axis but one, and every weight as a share of it."""
    top = log_weight.max(axis=-2, keepdims=True)
    share = log_weight - top
    return top, np.exp(share, out=share)


def collapsed(top: Floats, share: Floats, levels: Floats, rates: Floats) -> tuple[Floats, Floats]:
    """Return the moments of mixtures of normals along the last axis but one.

    `top` and `share` are what `shares` makes of the log weights; `levels` (2, ...) and `rates` (3, ...) as
    `_arriving` has them. The result: log weight, mean and variance of the level (3, ...), and the slope's.
    """
    total = share.sum(axis=-2, keepdims=True)
    share = share / total
    level, variance = levels
    shape = (*share.shape[:-2], share.shape[-1])
    out, slopes = np.empty((3, *shape)), np.empty((3, *shape[:-1], rates.shape[-1]))
    np.add(np.log(total), top, out=out[0, ..., None, :])
    out[1] = mean_of(share, level)
    off = level - out[1, ..., None, :]
    pull = share * off
    out[2] = mean_of(share, variance) + mean_of(pull, off)
    if rates.shape[-1]:
        few = rates.shape[-1]
        part = share[..., :few]
        slope, spread, cross = rates
        slopes[0] = mean_of(part, slope)
        away = slope - slopes[0][..., None, :]
        slopes[2] = mean_of(part, cross) + mean_of(pull[..., :few], away)
        slopes[1] = mean_of(part, spread) + mean_of(part * away, away)
    return out, slopes


def mean_of(share: Floats, values: Floats) -> Floats:
    """Return the sum of values (..., B, S) with shares of 1 along the last axis but one."""
    return np.asarray(np.einsum("...bs,...bs->...s", share, values))


@dataclass(frozen=True)
class SlopeBefore:
    """The slope of the segment before a knot given the level there: a normal, and how the level pulls it."""

    mean: Floats
    variance: Floats
    pull: Floats

    def slower(self, slope: Floats, variance: Floats, cross: Floats) -> Floats:
        """Return the probability that the segment from the knot is slower.

        `cross` is the covariance of its slope with the level at the knot.
        """
        spread = self.variance + variance - 2.0 * self.pull * cross
        return normal_cdf((self.mean - slope) / np.sqrt(np.maximum(spread, 1e-12)))


def slope_before(
    before: Message, knot: Index, column: Index, level: Floats, level_variance: Floats
) -> SlopeBefore:
    """Return the slope before some knots.

    It is known through its covariance with the level at the knot; the present segment's tests move that
    level, and so the slope. A column beyond those whose slopes are kept takes the one of its share.
    """
    kept = before.pace.shape[1]
    slope = (knot, column if isinstance(column, slice) else column % kept)
    variance = before.variance[knot, column]
    cross = before.cross[slope]
    pull = cross / variance
    earlier = before.pace[slope] + pull * (level - before.mean[knot, column])
    left = before.spread[slope] - pull * cross + pull * pull * level_variance
    return SlopeBefore(earlier, left, pull)
