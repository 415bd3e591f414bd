"""The same series under two other priors: what hangs on them shows."""

from __future__ import annotations

from dataclasses import dataclass, replace

from tracker.trend.analyse import analyse
from tracker.trend.answer import Answer
from tracker.trend.observations import Floats, Observations
from tracker.trend.priors import BUILT_IN, FLAT, GAINING, SLIPPING, Priors


@dataclass(frozen=True)
class Beliefs:
    """Answers under a prior that expects half the usual progress and one that expects twice.

    `slower`, `faster` name the two; both keep noise and offsets.
    """

    slower: Answer
    faster: Answer

    def classes(self, cut: float) -> tuple[tuple[int | None, ...], tuple[int | None, ...]]:
        """Return for either the class of each series that holds the cut, None where none does."""
        return _held(self.slower.p, cut), _held(self.faster.p, cut)


def other_priors(priors: Priors) -> tuple[Priors, Priors]:
    """Return priors expecting half and twice the usual gain (at least as wide), with even label weights."""
    out = []
    for factor, name in ((0.5, "half the usual progress"), (2.0, "twice the usual progress")):
        mean = (priors.slope_mean[GAINING] * factor, 0.0, priors.slope_mean[SLIPPING])
        sd = (priors.slope_sd[0] * max(factor, 1.0), priors.slope_sd[1])
        weight = _nearer(priors.label_weight, BUILT_IN.label_weight)
        first = _nearer(priors.opening, BUILT_IN.opening)
        out.append(
            replace(
                priors, slope_mean=mean, slope_sd=sd, label_weight=weight, first_weight=first, version=name
            )
        )
    return out[0], out[1]


def _nearer(
    weight: tuple[float, float, float], built_in: tuple[float, float, float]
) -> tuple[float, float, float]:
    """Return label weights with the flat one half-way to the built-in one."""
    flat = 0.5 * (weight[FLAT] + built_in[FLAT])
    scale = (1 - flat) / (1 - weight[FLAT])
    return weight[GAINING] * scale, flat, weight[SLIPPING] * scale


def under_other_priors(
    observations: Observations, priors: Priors, *, band: Floats | float | None = None
) -> Beliefs:
    """Return the answers under the two other priors."""
    slower, faster = other_priors(priors)
    return Beliefs(analyse(observations, slower, band=band), analyse(observations, faster, band=band))


def _held(p: Floats, cut: float) -> tuple[int | None, ...]:
    return tuple(int(row.argmax()) if row.max() >= cut else None for row in p)
