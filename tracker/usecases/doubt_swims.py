"""Which of many swims are doubtful; only those that could be are looked at one by one."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from operator import itemgetter
from typing import Any

from tracker.records.plausibility import Doubt, doubts
from tracker.records.swim import Swim
from tracker.settings import Settings

_NAMES = tuple(Swim.model_fields)
_DISTANCE, _TIME, _DECISION = (_NAMES.index(name) for name in ("distance_m", "time_s", "decision"))

_KIND = tuple(_NAMES.index(name) for name in ("distance_m", "test", "course", "suit", "kit", "set_id"))


@dataclass(frozen=True)
class DoubtfulSwim:
    """A swim that stays out of the trend until a person decides, and where it stands in its file."""

    file: str
    row: int
    swim: Swim
    doubts: tuple[Doubt, ...]


def doubtful_swims(
    rows: Sequence[tuple[Any, ...]],
    numbers: Sequence[int],
    companions: Iterable[tuple[Any, ...]],
    settings: Settings,
    file: str,
) -> list[DoubtfulSwim]:
    """Return the doubtful among new swims.

    Parameters
    ----------
    rows
        Values in the order of Swim's fields; date and swimmer come first.
    numbers
        Where each row stands in its file.
    companions
        Stored swims of the same days.
    """
    by_day: dict[tuple[Any, ...], list[tuple[Any, ...]]] = defaultdict(list)
    for row in (*rows, *companions):
        if not row[_DECISION]:
            by_day[row[:2]].append(row)
    telling: dict[tuple[Any, ...], list[Swim]] = {}
    fastest, slowest = settings.fastest_pace_s, settings.slowest_pace_s
    found = []
    for row, number in zip(rows, numbers, strict=True):
        if row[_DECISION]:
            continue
        day = row[:2]
        pace = 100.0 * row[_TIME] / row[_DISTANCE]
        if len(by_day[day]) == 1 and fastest <= pace <= slowest:
            continue
        if day not in telling:
            telling[day] = _telling(by_day[day])
        swim = _swim(row)
        grave = tuple(doubt for doubt in doubts(swim, telling[day], settings) if doubt.implausible)
        if grave:
            found.append(DoubtfulSwim(file, number, swim, grave))
    return found


def _telling(rows: Iterable[tuple[Any, ...]]) -> list[Swim]:
    """Return the swims of a day that can cast a doubt: the fastest and the slowest of each kind.

    Every rule compares times, so if any swim of a kind casts a grave doubt, one of these does; and
    a day of a thousand swims takes no longer than a day of two.
    """
    extremes: dict[tuple[Any, ...], tuple[Any, Any]] = {}
    for row in rows:
        kind = tuple(row[place] for place in _KIND)
        low, high = extremes.get(kind, (row, row))
        extremes[kind] = min(low, row, key=itemgetter(_TIME)), max(high, row, key=itemgetter(_TIME))
    return [_swim(row) for pair in extremes.values() for row in dict.fromkeys(pair)]


def _swim(row: tuple[Any, ...]) -> Swim:
    return Swim.model_construct(**dict(zip(_NAMES, row, strict=True)))
