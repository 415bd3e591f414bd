"""Effects of many kinds of change side by side: the luckiest looks best, so all are drawn towards none."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from tracker.faults.effect import Effect

_Z90 = 1.6448536269514722


@dataclass(frozen=True)
class Shrunk:
    """An effect drawn towards none by how much such effects differ; `tried` is how many were compared."""

    effect: Effect
    value: float
    low: float
    high: float
    tried: int


def shrunk(effects: Sequence[Effect]) -> tuple[Shrunk, ...]:
    """Return those with a gain, shrunken towards zero: theta_f ~ N(0, tau_f^2).

    tau_f^2 is the mean of the squared gains less the mean of their squared errors, not below zero
    (method of moments). With one effect there is nothing to learn tau from: it stays as it is.
    """
    known = [(effect, effect.gain) for effect in effects if effect.gain is not None]
    errors = [(gain.high - gain.low) / (2 * _Z90) for _, gain in known]
    if len(known) < 2:
        return tuple(Shrunk(effect, gain.value, gain.low, gain.high, len(known)) for effect, gain in known)
    spread = max(
        0.0,
        (sum(gain.value**2 for _, gain in known) - sum(error**2 for error in errors)) / len(known),
    )
    found = []
    for (effect, gain), error in zip(known, errors, strict=True):
        share = spread / (spread + error**2) if error > 0 else 1.0
        wide = _Z90 * (share**0.5) * error
        found.append(
            Shrunk(
                effect, share * gain.value, share * gain.value - wide, share * gain.value + wide, len(known)
            )
        )
    return tuple(found)
