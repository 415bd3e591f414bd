"""Compare two reviews by one reviewer, against that reviewer's own error.

Reviewers are never pooled: published agreement between them is poor (kappa 0.08 to 0.38 after
training, scielo S2448-24552023000100213). A reviewer who scores a clip twice gets an own typical error.
"""

from __future__ import annotations

import datetime as dt
import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Literal, assert_never

from tracker.model.review import ReviewItem
from tracker.model.vocabularies import ItemKind

Seen = Literal["better", "worse", "changed", "no change seen", "first look"]

MDC95 = 1.96 * math.sqrt(2)
"""Smallest change beyond the error of two readings, in typical errors (Weir 2005; from memory)."""
ROUNDING = 12**-0.5
"""Standard deviation of what rounding takes from a reading in whole points, degrees or centimetres."""
LEAST_PAIRS = 3
"""Fewest clips scored twice for an own error (assumption)."""


@dataclass(frozen=True)
class OwnError:
    """A reviewer's typical error of one item, from `pairs` repeated readings of the same clip."""

    reviewer: str
    item: str
    value: float
    pairs: int

    @property
    def ends(self) -> tuple[float, float]:
        """Its 90 % limits; readings that all repeat may still differ by what rounding hides."""
        from tracker.engine.trend.reliability import limits

        freedom = self.pairs - 1
        return limits(self.value, freedom)[0], limits(max(self.value, ROUNDING), freedom)[1]


@dataclass(frozen=True)
class LookChange:
    """The last two looks of one reviewer at one item of one swimmer.

    Attributes
    ----------
    seen
        Scores: better or worse (+ is better) beyond the reviewer's own error. "no change seen" within it.
        "changed" where that error is not known, and of every measure: no published value says which way is
        better.
    needed
        The change that would have counted; None where the own error is not known.
    needed_ends
        Its 90 % limits: few clips read twice leave the own error open.
    """

    reviewer: str
    item: str
    side: str
    date: dt.date
    value: float
    before: float | None
    before_date: dt.date | None
    seen: Seen
    needed: float | None
    needed_ends: tuple[float, float] | None = None


def typical_error(pairs: Sequence[tuple[float, float]]) -> float:
    """Return SD(differences) / sqrt(2), the typical error of one reading.

    Raises
    ------
    ValueError
        With fewer than two pairs.
    """
    if len(pairs) < 2:
        raise ValueError("a typical error needs two pairs of readings")
    differences = [second - first for first, second in pairs]
    mean = math.fsum(differences) / len(differences)
    variance = math.fsum((d - mean) ** 2 for d in differences) / (len(differences) - 1)
    return math.sqrt(variance / 2)


def own_errors(items: Iterable[ReviewItem]) -> Mapping[tuple[str, str], OwnError]:
    """Return the typical error of every reviewer and item that has clips enough read twice.

    Two readings belong together if reviewer, swimmer, clip, item and side are the same and the days
    of reading differ. Items of all swimmers may be handed over.
    """
    readings: dict[tuple[str, str, str, str, str], list[ReviewItem]] = {}
    for item in sorted(items, key=lambda item: item.date):
        if _value(item) is not None and item.clip:
            key = (item.reviewer, item.item, item.swimmer, item.clip, item.side)
            readings.setdefault(key, []).append(item)
    pairs: dict[tuple[str, str], list[tuple[float, float]]] = {}
    for (reviewer, name, *_), found in readings.items():
        for first, second in pairwise(found):
            if first.date != second.date and first.value is not None and second.value is not None:
                pairs.setdefault((reviewer, name), []).append((first.value, second.value))
    return {
        key: OwnError(*key, typical_error(own), len(own))
        for key, own in pairs.items()
        if len(own) >= LEAST_PAIRS
    }


def look_changes(
    items: Iterable[ReviewItem],
    errors: Mapping[tuple[str, str], OwnError],
    *,
    until: dt.date,
) -> tuple[LookChange, ...]:
    """Return the last change of each item and side of one swimmer, each reviewer apart.

    A score counts as changed beyond the reviewer's typical error, a measure beyond 2.77 typical errors
    (two readings, 95 %). Where that error is not known, any difference is stated, and that it may be error.
    """
    groups: dict[tuple[str, str, str], list[ReviewItem]] = {}
    for item in sorted(items, key=lambda item: item.date):
        if item.date <= until and _value(item) is not None:
            groups.setdefault((item.reviewer, item.item, item.side), []).append(item)
    return tuple(_change(found, errors) for found in groups.values())


def _change(found: Sequence[ReviewItem], errors: Mapping[tuple[str, str], OwnError]) -> LookChange:
    last = found[-1]
    earlier = [item for item in found if item.date < last.date and not (item.clip and item.clip == last.clip)]
    before = earlier[-1] if earlier else None
    error = errors.get((last.reviewer, last.item))
    times = _errors_needed(last.kind)
    needed = None if error is None else error.value * times
    ends = None if error is None else (error.ends[0] * times, error.ends[1] * times)
    value = float(last.value or 0.0)
    was = None if before is None or before.value is None else float(before.value)
    return LookChange(
        last.reviewer,
        last.item,
        last.side,
        last.date,
        value,
        was,
        None if before is None else before.date,
        _seen(last, was, value, needed),
        needed,
        ends,
    )


def _seen(item: ReviewItem, was: float | None, value: float, needed: float | None) -> Seen:
    if was is None:
        return "first look"
    if value == was or (needed is not None and abs(value - was) < needed):
        return "no change seen"
    match item.kind:
        case ItemKind.SCORE if needed is not None:
            return "better" if value > was else "worse"
        case ItemKind.SCORE | ItemKind.MEASURE | ItemKind.LOOK:
            return "changed"
        case other:
            assert_never(other)


def _value(item: ReviewItem) -> float | None:
    match item.kind:
        case ItemKind.SCORE | ItemKind.MEASURE:
            return item.value
        case ItemKind.LOOK:
            return None
        case other:
            assert_never(other)


def _errors_needed(kind: ItemKind) -> float:
    """Return from how many typical errors on two readings differ."""
    match kind:
        case ItemKind.MEASURE:
            return MDC95
        case ItemKind.SCORE | ItemKind.LOOK:
            return 1.0
        case other:
            assert_never(other)
