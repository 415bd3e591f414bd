"""How many of a roster's plateaus are expected to be false."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from tracker.engine.verdict.verdict import Verdict, Word


def expected_false(p_flat: Iterable[float], cut: float) -> float:
    """Return the expected share of false ones among those called flat (Bayesian false discovery rate).

    Parameters
    ----------
    p_flat
        The probability of being flat, for each series.
    cut
        From which on a series is called flat.
    """
    false = [1.0 - p for p in p_flat if p >= cut]
    return math.fsum(false) / len(false) if false else 0.0


def roster_cut(p_flat: Iterable[float], share: float) -> float:
    """Return the lowest cut at which at most `share` of those called flat is expected false; else 1."""
    ordered = sorted(p_flat, reverse=True)
    cut, false = 1.0, 0.0
    for called, p in enumerate(ordered, 1):
        false += 1.0 - p
        if false > share * called:
            break
        if called == len(ordered) or ordered[called] < p:  # the equally sure are called together
            cut = p
    return cut


DECLARED = 0.20
"""Share of false ones among the plateaus of a roster that can be put up with: one in five (an assumption). No
smaller one could be kept: nobody is known to be flat today with much more than 85 %, for the rate may have
changed last week."""


@dataclass(frozen=True)
class ExpectedFalse:
    """Of `called` plateaus this share is expected to be none, if the probabilities are true ones.

    The `kept` surest of them, those with a probability of at least `cut`, hold `DECLARED`.
    """

    called: int
    share: float
    kept: int
    cut: float


def expected_false_plateaus(verdicts: Iterable[Verdict | None]) -> ExpectedFalse:
    """Return the Bayesian false discovery rate among the plateaus of a roster."""
    return expected_false_among([p for one in verdicts for p in plateau_chance(one)])


def plateau_chance(verdict: Verdict | None) -> list[float]:
    """Return the probability of a plateau that was called one; empty for anything else."""
    return [verdict.p_flat] if verdict is not None and verdict.verdict == Word.PLATEAU else []


def expected_false_among(flat: Sequence[float]) -> ExpectedFalse:
    """Return the same from the probabilities of all plateaus called."""
    cut = roster_cut(flat, DECLARED)
    return ExpectedFalse(len(flat), expected_false(flat, 0.0), sum(p >= cut for p in flat), cut)
