"""How many of those called flat are expected not to be (Bayesian false discovery rate)."""

from __future__ import annotations

import math
from collections.abc import Iterable


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
