"""What each part of the study gives, and how large it is."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field, replace
from functools import lru_cache
from typing import TYPE_CHECKING, TypeVar

from tests.simulate.seasons import QUICK, seasons
from tests.validation.door import learned_from
from tests.validation.table import Table
from tracker.engine.trend.priors import BUILT_IN, Priors

if TYPE_CHECKING:
    from matplotlib.figure import Figure

T = TypeVar("T")
ROSTER = replace(QUICK, gain=(0.3, 1.2))
"""The mixed roster that "learned" priors come from: gaining 0.3 to 1.2 %/month, a tenth slipping spells."""
ROSTER_SEED = 9500


@dataclass(frozen=True)
class Scale:
    """The whole study, or a quick look whether it runs."""

    quick: bool = False

    def of(self, size: int, least: int = 2) -> int:
        """Return how many swimmers: `size`, or for a quick look the least that will do."""
        return least if self.quick else size

    def some(self, items: Iterable[T]) -> list[T]:
        """Return all of them, or for a quick look the first two."""
        return list(items)[:2] if self.quick else list(items)


@dataclass(frozen=True)
class Part:
    """Tables, and figures by file name."""

    tables: tuple[Table, ...]
    figures: dict[str, Figure] = field(default_factory=dict)


@lru_cache
def both_priors(scale: Scale) -> dict[str, Priors]:
    """Return the priors built in, and those that a mixed roster of 300 teaches."""
    import numpy as np

    roster = seasons(np.random.default_rng(ROSTER_SEED), scale.of(300, 30), ROSTER)
    return {"built in": BUILT_IN, "learned": learned_from(roster).priors}
