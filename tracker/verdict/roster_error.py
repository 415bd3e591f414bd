"""How wrong a roster's plateaus are expected to be."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from tracker.trend.expected_false import expected_false
from tracker.verdict.verdict import Verdict


@dataclass(frozen=True)
class ExpectedFalse:
    """Of `called` plateaus this share is expected to be none, if the probabilities are true ones."""

    called: int
    share: float


def expected_false_plateaus(verdicts: Iterable[Verdict | None]) -> ExpectedFalse:
    """Return the Bayesian false discovery rate among the plateaus of a roster."""
    flat = [one.p_flat for one in verdicts if one is not None and one.verdict == "plateau"]
    return ExpectedFalse(len(flat), expected_false(flat, 0.0))
