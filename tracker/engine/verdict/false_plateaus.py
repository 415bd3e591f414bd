"""How many of a roster's plateaus are expected to be false."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from tracker.engine.trend.expected_false import expected_false, roster_cut
from tracker.engine.verdict.verdict import Verdict, Word

DECLARED = 0.10
"""Share of false ones among the plateaus of a roster that can be put up with: one in ten (an assumption)."""


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
