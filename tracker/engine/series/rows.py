"""The tests of a roster as a long table: one row a test, columns as arrays, any source."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from tracker.engine.series.conditions import no_conditions

EPOCH = dt.date(1970, 1, 1)
_FIRST, _LAST = ((day - EPOCH).days for day in (dt.date.min, dt.date.max))

Texts = NDArray[Any]


def day_number(day: dt.date) -> int:
    """Return days since 1970-01-01."""
    return (day - EPOCH).days


def day_date(number: float) -> dt.date:
    """Return the date of a day number, rounded to the nearest day, kept inside the calendar."""
    return EPOCH + dt.timedelta(days=min(max(round(float(number)), _FIRST), _LAST))


def day_dates(numbers: NDArray[np.float64]) -> list[dt.date]:
    """Return the dates of many day numbers, as `day_date` does."""
    days = np.clip(np.rint(numbers), _FIRST, _LAST).astype(np.int64)
    dates: list[dt.date] = days.astype("datetime64[D]").tolist()
    return dates


def numbered(texts: Texts) -> tuple[NDArray[np.int64], list[str]]:
    """Return the number (R,) of each text among the different ones, and these in order.

    On a million rows a general factoriser takes half as long, but its package a quarter of a second to load,
    and for one swimmer it is slower. `texts` (R,) holds no None.
    """
    plain: list[str] = texts.tolist()
    labels = sorted(set(plain))
    place = {label: number for number, label in enumerate(labels)}
    return np.array([place[text] for text in plain], np.int64), labels


@dataclass(frozen=True)
class Rows:
    """R usable tests of S swimmers, sorted by swimmer, then date.

    Attributes
    ----------
    names
        S labels.
    swimmer
        (R,) index into `names`, never decreasing.
    day
        (R,) days since 1970-01-01, never decreasing within a swimmer.
    pace
        (R,) seconds per 100 m, positive.
    weight
        (R,) relative inverse variance, 1 = an ordinary test.
    protocol, course, suit
        (R,) texts that say with what a test may be compared.
    conditions
        (R, C) what else moved the pace, a column each of `conditions.CONDITIONS`.
    """

    names: tuple[str, ...]
    swimmer: NDArray[np.int64]
    day: NDArray[np.int64]
    pace: NDArray[np.float64]
    weight: NDArray[np.float64]
    protocol: Texts
    course: Texts
    suit: Texts
    conditions: NDArray[np.float64]

    def __len__(self) -> int:
        """Return R."""
        return int(self.day.size)

    def keep(self, mask: NDArray[np.bool_]) -> Rows:
        """Return the rows where `mask` (R,) is true; swimmers without rows leave `names`."""
        code = self.swimmer[mask]
        present, renumbered = np.unique(code, return_inverse=True)
        return Rows(
            tuple(self.names[i] for i in present),
            renumbered.astype(np.int64),
            self.day[mask],
            self.pace[mask],
            self.weight[mask],
            self.protocol[mask],
            self.course[mask],
            self.suit[mask],
            self.conditions[mask],
        )

    def bounds(self) -> NDArray[np.int64]:
        """Return (S + 1,) row numbers at which each swimmer's rows begin and the last ones end."""
        return np.searchsorted(self.swimmer, np.arange(len(self.names) + 1)).astype(np.int64)


def sorted_rows(
    names: Texts,
    day: NDArray[np.int64],
    pace: NDArray[np.float64],
    weight: NDArray[np.float64],
    kinds: tuple[Texts, Texts, Texts],
    conditions: NDArray[np.float64] | None = None,
) -> Rows:
    """Return `Rows` from columns in any order.

    Parameters
    ----------
    names
        (R,) swimmers' labels.
    day, pace, weight
        (R,) as in `Rows`.
    kinds
        (R,) protocols, courses and suits.
    conditions
        (R, C) as in `Rows`; None where none is known.
    """
    codes, labels = numbered(names)
    order = np.lexsort((np.arange(day.size), day, codes))
    protocol, course, suit = kinds
    return Rows(
        tuple(str(label) for label in labels),
        codes[order],
        day[order],
        pace[order],
        weight[order],
        protocol[order],
        course[order],
        suit[order],
        no_conditions(day.size) if conditions is None else conditions[order],
    )
