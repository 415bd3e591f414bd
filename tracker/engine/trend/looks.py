"""What was known at each knot of a record, gathered on the forward pass."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from tracker.engine.trend.messages import Message, mean_of, slope_before
from tracker.engine.trend.observations import Floats
from tracker.engine.trend.priors import FLAT


@dataclass(frozen=True)
class Filtered:
    """What the tests before each knot and, last, all tests say of the rate there; G looks, H S columns.

    By label of the present segment, (3, G, H S): `log_weight` of the data before and the label (not
    normalised), mean and variance of the rate. `slower` (G, slopes): the probability that the rate is lower
    than that of the segment before. Knot 0 has no look: look g is at knot g + 1, the last at the end.
    """

    log_weight: Floats
    slope: Floats
    variance: Floats
    slower: Floats


class LooksOnTheWay:
    """What was known at each knot, gathered on the way; `before` are the messages over every and moving."""

    def __init__(self, size: int, series: int, slopes: int, before: tuple[Message, Message]) -> None:
        self._by_label = np.empty((3, 3, size, series))
        self._slower = np.zeros((size, slopes))
        self._slopes = slopes
        self._before = before

    def add(
        self, b: int, top: Floats, share: Floats, solved: tuple[Floats, ...], odds: Floats | None
    ) -> None:
        """Note the look at knot `b` from its segments.

        `top` and `share` are those of a change there; `odds` (3, b, S) of the series makes of them segments
        that go on. At the end they do already.
        """
        if odds is not None:
            share = share.copy()
            shape = (*share.shape[:-1], -1, odds.shape[-1])
            wide = share.reshape(shape)
            wide *= odds[:, :, None]
        total = np.maximum(share.sum(axis=1), 1e-300)
        slope, variance = solved[2], solved[3]
        mean = mean_of(share, slope) / total
        square = mean_of(share, variance + slope * slope) / total
        self._by_label[:, :, b - 1] = (
            np.log(total) + top[:, 0], mean, np.maximum(square - mean * mean, 1e-12)
        )  # fmt: skip
        if b > 1:
            self._slower[b - 1] = self._chance(b, top, share, total, solved)

    def _chance(
        self, b: int, top: Floats, share: Floats, total: Floats, solved: tuple[Floats, ...]
    ) -> Floats:
        """Return the probability (slopes,) that the rate is lower than before the knot it began at."""
        some = (..., slice(1, None), slice(self._slopes))
        _, level, slope, variance, level_variance, cross = (one[some] for one in solved)
        every, moving = self._before
        out = np.empty_like(slope)
        for before, labels in ((every, slice(0, 3, 2)), (moving, slice(FLAT, FLAT + 1))):
            earlier = slope_before(
                before, slice(1, b), slice(self._slopes), level[labels], level_variance[labels]
            )
            out[labels] = earlier.slower(slope[labels], variance[labels], -cross[labels])
        scale = np.exp(top - top.max(axis=0))[..., : self._slopes]
        chance = np.einsum("lbs,lbs,ls->s", share[some], out, scale[:, 0])
        return np.asarray(chance / (scale[:, 0] * total[:, : self._slopes]).sum(axis=0))

    def found(self) -> Filtered:
        """Return the looks noted."""
        log_weight, slope, variance = self._by_label
        return Filtered(log_weight, slope, variance, self._slower)
