"""Logged swims to the rows that can be compared, and what was left out and why."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping, Sequence
from typing import Any

import numpy as np
from numpy.typing import NDArray

from tracker.engine.series.conditions import Circumstances, after_breaks, conditions_of
from tracker.engine.series.left_out import LeftOut, LeftOutReason
from tracker.engine.series.protocols import protocol_name
from tracker.engine.series.rows import Rows, day_date, day_number, sorted_rows
from tracker.model.plausibility import doubts
from tracker.model.swim import Swim
from tracker.model.units import LEAST_EFFORT
from tracker.model.vocabularies import Decision
from tracker.settings import Settings

COLUMNS = (
    "swimmer", "date", "test", "distance_m", "time_s", "course", "suit", "kit", "start", "set_id", "decision",
    "at", "effort", "taper", "warmup_min", "rest_s",
)  # fmt: skip
"""Columns of the swims that the series needs."""

Columns = Mapping[str, NDArray[Any]]


def rows_from_swims(
    swims: Columns, settings: Settings, *, until: dt.date | None = None
) -> tuple[Rows | None, tuple[LeftOut, ...]]:
    """Return the comparable rows of logged swims (None if there are none) and what was left out.

    Parameters
    ----------
    swims
        `COLUMNS` as arrays of R, sorted by swimmer and date; `date` as datetime64[D].
    settings
        Limits of plausibility.
    until
        Swims after this day are not looked at.

    Notes
    -----
    The repeats of one set are one test: their mean pace, since they share the day's form.
    """
    day = swims["date"].astype("datetime64[D]").astype(np.int64)
    pace = 100.0 * swims["time_s"].astype(float) / swims["distance_m"].astype(float)
    seen = np.ones(day.size, bool) if until is None else day <= day_number(until)
    aside = swims["decision"] == Decision.ASIDE.value
    kit = swims["kit"] != ""
    easy = swims["effort"].astype(float) < LEAST_EFFORT
    doubtful = _implausible(swims, day, pace, settings)
    use = seen & ~aside & ~kit & ~easy & ~doubtful
    reasons: tuple[tuple[NDArray[np.bool_], LeftOutReason], ...] = (
        (aside, LeftOutReason.ASIDE),
        (kit & ~aside, LeftOutReason.KIT),
        (easy & ~aside & ~kit, LeftOutReason.EASY),
        (doubtful & ~aside & ~kit & ~easy, LeftOutReason.IMPLAUSIBLE),
    )
    left = tuple(
        LeftOut(str(swims["swimmer"][i]), day_date(day[i]), why)
        for mask, why in reasons
        for i in np.flatnonzero(mask & seen)
    )
    return (_rows(swims, day, pace, use, seen) if use.any() else None), left


def _implausible(
    swims: Columns, day: NDArray[np.int64], pace: NDArray[np.float64], settings: Settings
) -> NDArray[np.bool_]:
    """Return which swims are implausible and undecided, by the rule of `model.plausibility`.

    The rule looks at one swim and its day's companions. Nearly all swims are clean at a glance
    (alone on their day with a human pace, or one of a plausible pair), so only the others are
    given to it one by one.
    """
    undecided = swims["decision"] == Decision.UNDECIDED.value
    odd_pace = (pace < settings.fastest_pace_s) | (pace > settings.slowest_pace_s)
    same_day = np.zeros(day.size, bool)
    same_day[1:] = (day[1:] == day[:-1]) & (swims["swimmer"][1:] == swims["swimmer"][:-1])
    group = np.cumsum(~same_day) - 1
    size = np.bincount(group)
    suspect = np.zeros(size.size, bool)
    suspect[group[odd_pace]] = True
    second = np.flatnonzero(same_day)
    suspect[group[second]] |= ~_plausible_beside(swims, second - 1, second, settings)
    suspect |= (size > 2) & ~_one_distance(swims, group, size.size)
    found = np.zeros(day.size, bool)
    for rows in _members(group, suspect):
        made = [_swim(swims, int(i)) for i in rows]
        for i, swim in zip(rows, made, strict=True):
            found[i] = any(doubt.implausible for doubt in doubts(swim, made, settings))
    result: NDArray[np.bool_] = found & undecided
    return result


def _plausible_beside(
    swims: Columns, first: NDArray[np.int64], second: NDArray[np.int64], settings: Settings
) -> NDArray[np.bool_]:
    """Return for pairs of rows whether a glance shows that neither casts doubt on the other."""
    metres, seconds = swims["distance_m"].astype(float), swims["time_s"].astype(float)
    swap = metres[first] < metres[second]
    long, short = np.where(swap, second, first), np.where(swap, first, second)
    ratio = seconds[long] / seconds[short]
    good = (ratio > settings.ratio_low) & (ratio <= settings.ratio_high)
    plausible: NDArray[np.bool_] = (metres[long] == metres[short]) | good
    return plausible


def _one_distance(swims: Columns, group: NDArray[np.int64], groups: int) -> NDArray[np.bool_]:
    metres = swims["distance_m"].astype(float)
    low, high = np.full(groups, np.inf), np.zeros(groups)
    np.minimum.at(low, group, metres)
    np.maximum.at(high, group, metres)
    same: NDArray[np.bool_] = low == high
    return same


def _members(group: NDArray[np.int64], wanted: NDArray[np.bool_]) -> list[NDArray[np.int64]]:
    rows = np.flatnonzero(wanted[group])
    return np.split(rows, np.flatnonzero(np.diff(group[rows])) + 1) if rows.size else []


def _swim(swims: Columns, i: int) -> Swim:
    """Return row `i` as a record; the store validated it when it came in."""
    values = {name: swims[name][i] for name in COLUMNS}
    values["date"] = swims["date"][i].astype("datetime64[D]").item()
    values["decision"] = Decision(swims["decision"][i])
    return Swim.model_construct(**values)


def _later_in_pair(swims: Columns) -> NDArray[np.bool_]:
    """Return which swims of a CSS pair came after the long one, and so were not swum rested."""
    later = np.zeros(swims["time_s"].size, bool)
    longest: dict[tuple[str, str], float] = {}
    rows = np.flatnonzero((swims["test"] == "css") & (swims["set_id"] != ""))
    keys = [(str(swims["swimmer"][i]), str(swims["set_id"][i])) for i in rows]
    for i, key in zip(rows, keys, strict=True):
        longest[key] = max(longest.get(key, 0.0), float(swims["distance_m"][i]))
    for i, key in zip(rows, keys, strict=True):
        later[i] = float(swims["distance_m"][i]) < longest[key]
    return later


def _rows(
    swims: Columns,
    day: NDArray[np.int64],
    pace: NDArray[np.float64],
    use: NDArray[np.bool_],
    seen: NDArray[np.bool_],
) -> Rows:
    later_in_pair = _later_in_pair(swims)
    kinds = (swims["test"], swims["distance_m"].astype(float), swims["start"], later_in_pair)
    keys = list(zip(*(column.tolist() for column in kinds), strict=True))
    names = {
        key: protocol_name(str(test), distance, start=str(start), first_of_set=not later)
        for key in set(keys)
        for test, distance, start, later in [key]
    }
    protocol = np.array([names[key] for key in keys], object)
    mean, use = _repeats(swims, pace, use)
    suit = np.where(swims["suit"] == "none", "", swims["suit"]).astype(object)
    return sorted_rows(
        swims["swimmer"][use],
        day[use],
        mean[use],
        np.ones(int(use.sum())),
        (protocol[use], swims["course"][use], suit[use]),
        _conditions(swims, day, later_in_pair, seen)[use],
    )


def _conditions(
    swims: Columns, day: NDArray[np.int64], later: NDArray[np.bool_], seen: NDArray[np.bool_]
) -> NDArray[np.float64]:
    """Return (R, C) what moved each swim's pace beside form; any swim on record ends a break."""
    broken = np.zeros(day.size, bool)
    broken[seen] = after_breaks(swims["swimmer"][seen], day[seen])
    rested = later | (swims["test"] == "reps")
    swum = Circumstances(
        swims["at"],
        swims["effort"].astype(float),
        np.asarray(swims["taper"] != ""),
        swims["warmup_min"].astype(float),
        swims["rest_s"].astype(float),
        np.where(rested, swims["test"], ""),
    )
    return conditions_of(swum, broken)


def _repeats(
    swims: Columns, pace: NDArray[np.float64], use: NDArray[np.bool_]
) -> tuple[NDArray[np.float64], NDArray[np.bool_]]:
    """Replace the repeats of one set by their mean pace, kept at the first of them.

    A set of repeats is one test: counting each would make it look surer than a 400 swum
    once, though both carry the same day's form.
    """
    pace, use = pace.copy(), use.copy()
    groups: dict[tuple[str, str], list[int]] = {}
    for i in np.flatnonzero(use & (swims["test"] == "reps") & (swims["set_id"] != "")):
        groups.setdefault((str(swims["swimmer"][i]), str(swims["set_id"][i])), []).append(int(i))
    for rows in groups.values():
        pace[rows[0]] = float(np.mean(pace[rows]))
        use[rows[1:]] = False
    return pace, use


def swims_columns(swims: Sequence[Mapping[str, Any]]) -> dict[str, NDArray[Any]]:
    """Return `COLUMNS` of a few swims given as mappings."""
    columns: dict[str, NDArray[Any]] = {}
    for name in COLUMNS:
        values = [swim[name] for swim in swims]
        if name == "date":
            columns[name] = np.array(values, "datetime64[D]")
        elif name in {"distance_m", "time_s", "effort", "warmup_min", "rest_s"}:
            columns[name] = np.array(values, float)
        else:
            columns[name] = np.array(values, object)
    return columns
