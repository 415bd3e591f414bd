"""What was known at each knot of a record, gathered on the forward pass."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from tracker.engine.trend.messages import Message, slope_before
from tracker.engine.trend.mixture import classes
from tracker.engine.trend.observations import Floats
from tracker.engine.trend.priors import FLAT


@dataclass(frozen=True)
class Filtered:
    """What the tests before each knot and, last, all tests say of the rate there; G looks, H S columns.

    `log_weight` (G, H S) of the data before, up to the constant of `Sums`; `p` (3, G, H S) the probabilities
    that the rate lies above, inside, below the band; `slower` (G, slopes) that it is lower than that of the
    segment before. Knot 0 has no look: look g is at knot g + 1, the last at the end.
    """

    log_weight: Floats
    p: Floats
    slower: Floats


class LookRecorder:
    """What was known at each knot, gathered on the way.

    `before` are the messages over every and moving, `band` (H S,) the half-widths of flat.
    """

    def __init__(self, size: int, slopes: int, before: tuple[Message, Message], band: Floats) -> None:
        self._log_weight = np.empty((size, band.size))
        self._p = np.empty((3, size, band.size))
        self._slower = np.zeros((size, slopes))
        self._slopes = slopes
        self._before = before
        self._band = np.asarray(band, "f4")

    def add(
        self, b: int, top: Floats, share: Floats, solved: tuple[Floats, ...], odds: Floats | None
    ) -> None:
        """Note the look at knot `b` from its segments.

        `top` and `share` are those of a change there; `odds` (3, b, S) of the series makes of them segments
        that go on. At the end they do already.
        """
        highest = top.max(axis=0)
        chance = share * np.exp(top - highest)
        if odds is not None:
            shape = (*chance.shape[:-1], -1, odds.shape[-1])
            wide = chance.reshape(shape)
            wide *= odds[:, :, None]
        total = np.maximum(chance.sum(axis=(0, 1)), 1e-300)
        chance /= total
        self._log_weight[b - 1] = np.log(total) + highest[0]
        # a probability in single precision is right to a millionth, in half the time
        slope, sd = np.asarray(solved[2], "f4"), np.sqrt(np.asarray(solved[3], "f4"))
        parts = classes(slope, sd, self._band)
        self._p[:, b - 1] = np.einsum("lbs,klbs->ks", chance, parts)
        if b > 1:
            self._slower[b - 1] = self._chance(b, chance, solved)

    def _chance(self, b: int, chance: Floats, solved: tuple[Floats, ...]) -> Floats:
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
        return np.asarray(np.einsum("lbs,lbs->s", chance[some], out))

    def found(self) -> Filtered:
        """Return the looks noted."""
        return Filtered(self._log_weight, self._p, self._slower)
