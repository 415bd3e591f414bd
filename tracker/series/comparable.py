"""Rows of a roster to one batch of comparable series, and back from months to dates."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from tracker.series.protocols import published_offset, strangeness
from tracker.series.rows import Rows

DAYS_PER_MONTH = 30.4375


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
        One array a swimmer: months of the dated events at which the level may jump.
    origin
        (S,) day number of each swimmer's first test.
    design, features
        (K, P) what each kind is made of, and the P names of its columns.
    kinds
        K names of the kinds ("400 m SCM", "200 m LCM in a wetsuit").
    offsets
        Feature -> (mean, sd) of its effect in percent, from published values.
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
    offsets: Mapping[str, tuple[float, float]]

    def day(self, s: int, months: float) -> float:
        """Return the day number (with fraction) of a time in swimmer `s`'s months."""
        return float(self.origin[s] + months * DAYS_PER_MONTH)


def comparable_series(rows: Rows, events: Mapping[str, Sequence[int]] | None = None) -> Series:
    """Return the batch of series of `rows`, features named against the roster's commonest kind.

    Parameters
    ----------
    rows
        At least one row.
    events
        Swimmer -> day numbers of dated events at which the level may jump.
    """
    codes, design, features, offsets, kinds = _kinds(rows)
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
        tuple(codes[span] for span in spans),
        tuple(
            (np.sort(np.asarray(events.get(name, ()), float)) - origin[s]) / DAYS_PER_MONTH
            for s, name in enumerate(rows.names)
        ),
        origin,
        design,
        features,
        kinds,
        offsets,
    )


def _kinds(
    rows: Rows,
) -> tuple[
    NDArray[np.int64], NDArray[np.float64], tuple[str, ...], dict[str, tuple[float, float]], tuple[str, ...]
]:
    """Return codes (R,), design (K, P), feature names, their published offsets, and kind names."""
    import pandas as pd

    parts = {"protocol": rows.protocol, "course": rows.course, "suit": rows.suit}
    coded = {name: pd.factorize(values, sort=True) for name, values in parts.items()}
    combined = np.zeros(len(rows), np.int64)
    for code, values in coded.values():
        combined = combined * len(values) + code
    codes, first = np.unique(combined, return_index=True)
    common = np.bincount(np.searchsorted(codes, combined))
    strange = np.array([strangeness(str(rows.protocol[row])) for row in first])
    order = np.lexsort((strange, -common))
    rank = np.empty_like(order)
    rank[order] = np.arange(order.size)
    kind = rank[np.searchsorted(codes, combined)]
    first = first[order]
    columns: list[NDArray[np.float64]] = []
    features: list[str] = []
    offsets: dict[str, tuple[float, float]] = {}
    for name, (code, values) in coded.items():
        reference = values[code[first[0]]]
        for value in values:
            if value == reference:
                continue
            feature = f"{name} {value}".strip()
            features.append(feature)
            columns.append(np.array([float(parts[name][row] == value) for row in first]))
            known = published_offset(name, str(value), str(reference))
            if known is not None:
                offsets[feature] = known
    design = np.column_stack(columns) if columns else np.zeros((first.size, 0))
    kinds = tuple(
        kind_name(str(rows.protocol[row]), str(rows.course[row]), str(rows.suit[row])) for row in first
    )
    return kind.astype(np.int64), design, tuple(features), offsets, kinds


def kind_name(protocol: str, course: str, suit: str) -> str:
    """Return how a kind of test is called where people read it ("400 m SCM in a wetsuit")."""
    words = [word for word in (protocol, course) if word]
    return " ".join([*words, "in a wetsuit"] if suit == "wetsuit" else words)
