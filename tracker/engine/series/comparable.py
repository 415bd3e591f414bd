"""A swimmer's comparable series, what was left out of it, and the days on which form may jump."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from tracker.engine.series.protocols import Reference, kinds_of
from tracker.engine.series.rows import Rows, day_number
from tracker.model.event import Event
from tracker.model.event_kinds import JUMP_KINDS
from tracker.model.units import DAYS_PER_MONTH


@dataclass(frozen=True)
class Series:
    """What the engine is given, and how to read its answer back.

    Attributes
    ----------
    names
        S labels.
    months, level
        One array a swimmer: months since `origin[s]`, and -100 * ln(pace) in percent, up = faster.
    weight, kind
        One array a swimmer: relative inverse variance, code of the row of `design`.
    jumps
        One array a swimmer: months of the dated events at which the level may jump, the first of those
        between two tests.
    origin
        (S,) day number of each swimmer's first test.
    design, features
        (K, P) what each kind is made of, and the P names of its columns.
    kinds
        K names of the kinds ("400 m SCM", "200 m LCM in a wetsuit"), without conditions.
    plain
        (K,) each kind without its conditions, as a number; empty where no condition sets kinds apart.
    offsets
        Feature -> (mean, sd) of its effect in percent, from published values.
    noise
        Feature -> factor on the noise of tests with it, where one is believed.
    reference
        The kind that the features are named against.
    """

    names: tuple[str, ...]
    months: tuple[NDArray[np.float64], ...]
    level: tuple[NDArray[np.float64], ...]
    weight: tuple[NDArray[np.float64], ...]
    kind: tuple[NDArray[np.int64], ...]
    jumps: tuple[NDArray[np.float64], ...]
    origin: NDArray[np.int64]
    design: NDArray[np.float64]
    features: tuple[str, ...]
    kinds: tuple[str, ...]
    plain: NDArray[np.int64]
    offsets: Mapping[str, tuple[float, float]]
    noise: Mapping[str, float]
    reference: Reference

    def day(self, s: int, months: float) -> float:
        """Return the day number (with fraction) of a time in swimmer `s`'s months."""
        return float(self.days(s, np.array([months]))[0])

    def days(self, s: int, months: NDArray[np.float64]) -> NDArray[np.float64]:
        """Return the day numbers of many times."""
        return np.asarray(self.origin[s] + months * DAYS_PER_MONTH)


def comparable_series(
    rows: Rows, events: Mapping[str, Sequence[int]] | None = None, reference: Reference | None = None
) -> Series:
    """Return the batch of series of `rows`.

    Parameters
    ----------
    rows
        At least one row.
    events
        Swimmer -> day numbers of dated events at which the level may jump.
    reference
        The kind that features are named against; None for the commonest of these rows.
    """
    kinds = kinds_of(rows, reference)
    bounds = rows.bounds()
    spans = [slice(int(a), int(b)) for a, b in pairwise(bounds)]
    origin = rows.day[bounds[:-1]]
    months = (rows.day - origin[rows.swimmer]) / DAYS_PER_MONTH
    level = -100.0 * np.log(rows.pace)
    events = events or {}
    return Series(
        rows.names,
        tuple(months[span] for span in spans),
        tuple(level[span] for span in spans),
        tuple(rows.weight[span] for span in spans),
        tuple(kinds.code[span] for span in spans),
        tuple(
            _jumps(months[span], (np.asarray(events.get(name, ()), float) - origin[s]) / DAYS_PER_MONTH)
            for s, (name, span) in enumerate(zip(rows.names, spans, strict=True))
        ),
        origin,
        kinds.design,
        kinds.features,
        kinds.names,
        kinds.plain,
        kinds.offsets,
        kinds.noise,
        kinds.reference,
    )


def _jumps(months: NDArray[np.float64], events: NDArray[np.float64]) -> NDArray[np.float64]:
    """Return the first event of each gap between tests: the tests cannot tell two of them apart."""
    events = np.sort(events)
    gap, first = np.unique(np.searchsorted(months, events), return_index=True)
    jumps: NDArray[np.float64] = events[first[(gap > 0) & (gap < months.size)]]
    return jumps


def jump_days(events: Iterable[Event], until: dt.date) -> dict[str, list[int]]:
    """Return the day numbers, by swimmer, on which a lay-off or the like was over.

    Parameters
    ----------
    until
        Events that began later are not looked at.
    """
    days: dict[str, list[int]] = {}
    for event in events:
        if event.kind in JUMP_KINDS and event.from_date <= until:
            days.setdefault(event.swimmer, []).append(day_number(event.to_date or event.from_date))
    return days
