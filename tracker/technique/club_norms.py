"""The club's own distribution of a measure, for want of a published norm.

Each swimmer counts once, by the latest reading. Reviewers are never pooled (`reviewing`), nor are sides:
what stands beside a reading was read by the same eyes on the same side. It says what is usual here, not
what is good.
"""

from __future__ import annotations

import datetime as dt
import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from tracker.model.catalogue import measures
from tracker.model.review import ReviewItem
from tracker.model.vocabularies import ItemKind

LEAST_SWIMMERS = 8
"""Fewest swimmers of whom a distribution is stated (assumption): fewer would show single persons."""
TAIL = 0.1
"""Share left out at each end."""


@dataclass(frozen=True)
class ClubNorm:
    """How a measure lies in the club as one reviewer reads it; `low` and `high` hold eight in ten."""

    reviewer: str
    item: str
    side: str
    swimmers: int
    median: float
    low: float
    high: float


ClubNorms = Mapping[tuple[str, str, str], ClubNorm]
"""By reviewer, measure and side."""


def club_norms(items: Iterable[ReviewItem], *, until: dt.date) -> ClubNorms:
    """Return the distribution of each measure without a published norm that swimmers enough have.

    Parameters
    ----------
    items
        Of all swimmers.
    """
    open_norm = {one.slug for one in measures() if not one.has_published_norm}
    latest: dict[tuple[str, str, str], dict[str, float]] = {}
    for item in sorted(items, key=lambda item: item.date):
        known = item.kind == ItemKind.MEASURE and item.item in open_norm and item.value is not None
        if known and item.value is not None and item.date <= until:
            key = (item.reviewer, item.item, item.side)
            latest.setdefault(key, {})[item.swimmer] = float(item.value)
    return {
        key: ClubNorm(
            *key, len(values), quantile(values, 0.5), quantile(values, TAIL), quantile(values, 1 - TAIL)
        )
        for key, by_swimmer in latest.items()
        if len(values := list(by_swimmer.values())) >= LEAST_SWIMMERS
    }


def quantile(values: Sequence[float], share: float) -> float:
    """Return the value below which `share` lies, on the line between two neighbours (type 7)."""
    ordered = sorted(values)
    at = share * (len(ordered) - 1)
    below = math.floor(at)
    above = min(below + 1, len(ordered) - 1)
    return ordered[below] + (at - below) * (ordered[above] - ordered[below])
