"""Read a typed test (its definition, the times, the circumstances) into its swims."""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import assert_never

from tracker.entry.dates import checked_past
from tracker.entry.forms import read_record
from tracker.entry.times import parse_flagged_rate, shown
from tracker.entry.typed_times import time_problem, typed_time
from tracker.errors import EntryError, Problem
from tracker.model.about import corrigible
from tracker.model.plausibility import Limits
from tracker.model.swim import Swim
from tracker.model.swim_test import SwimTest
from tracker.model.swimmer import Swimmer
from tracker.model.text import clean_line
from tracker.model.units import YARD_M, checked_course, distance_in_m, plain_number, pool_length_m
from tracker.model.vocabularies import SwimTestKind

_DISTANCE = re.compile(r"(\d{1,6}(?:\.\d{1,3})?)\s*(m|yd)?", re.ASCII | re.IGNORECASE)
_REPEATS = re.compile(r"(\d{1,3})\s*[xX×*]\s*(\S+)", re.ASCII)

CIRCUMSTANCES = tuple(
    field for field in corrigible(Swim) if field.own not in {"test", "distance_m", "time_s"}
)
"""What a form may hold beside the test and its times."""


@dataclass(frozen=True)
class TypedTest:
    """A test swim as somebody typed it, on a command line or a screen.

    Attributes
    ----------
    name, test
        The swimmer's label and the short name of the definition.
    times
        A time for each distance; for "duration" the distance reached ("1480m"); for "repeats"
        "10x100" and then the times.
    form
        `CIRCUMSTANCES` as typed, by their names; absent or empty ones take their defaults.
    accepted
        Whether a person has said that it is right although it looks implausible.
    can_ask
        Whether somebody is there to be asked about what may be a slip of the typing.
    """

    name: str
    test: str
    times: tuple[str, ...]
    form: Mapping[str, str] = field(default_factory=dict)
    accepted: bool = False
    can_ask: bool = False


def read_test_swims(
    typed: TypedTest,
    definition: SwimTest,
    swimmer: Swimmer,
    *,
    course: str,
    as_of: dt.date,
    limits: Limits,
) -> tuple[Swim, ...]:
    """Return the swims of one test, in the order swum, without `set_id`.

    Parameters
    ----------
    definition, swimmer
        What was swum, and by whom.
    course
        The course where the form names none.
    as_of
        Today.
    limits
        Between which paces a swim may be; that decides how a time may be meant.

    Raises
    ------
    EntryError
        With every problem of every field.
    """
    problems: list[Problem] = []
    shared = {field.name: typed.form.get(field.name, "") for field in CIRCUMSTANCES}
    shared["date"] = shared["date"].strip() or as_of.isoformat()
    shared["start"] = shared["start"].strip() or definition.start
    course = _course(shared["course"], course, problems)
    shared["course"] = course
    if shared["rate"].strip():
        shared["rate"] = _rate(shared["rate"], problems)
    swum = _swum(definition, typed.times, course, limits, problems)
    base = _base(definition, swimmer, shared, swum, problems)
    if base is not None:
        _check_date(base, swimmer, as_of, problems)
    counts = base.strokes if base else shared["strokes"]
    per_swim = _counts_by_swim(counts, [distance for distance, _ in swum], course, problems)
    if problems or base is None:
        raise EntryError(tuple(problems))
    return tuple(
        base.model_copy(
            update={
                "distance_m": distance,
                "time_s": time,
                "strokes": per_swim[place],
                "rest_s": base.rest_s if place or len(swum) == 1 else None,
            }
        )
        for place, (distance, time) in enumerate(swum)
    )


def metres_typed(text: str, course: str) -> float | None:
    """Return the metres of a distance as typed, None if it is none; without a unit it is in the course's."""
    match = _DISTANCE.fullmatch(text.strip())
    if match is None or float(match[1]) <= 0:
        return None
    unit = (match[2] or ("yd" if course == "SCY" else "m")).lower()
    return float(match[1]) * (YARD_M if unit == "yd" else 1.0)


def _base(
    definition: SwimTest,
    swimmer: Swimmer,
    shared: Mapping[str, str],
    swum: Sequence[tuple[float, float]],
    problems: list[Problem],
) -> Swim | None:
    """Return a swim with everything the swims of the test share; None if that is wrong already."""
    distance, time = swum[0] if swum else (100.0, 100.0)
    form = {
        "swimmer": swimmer.swimmer,
        "test": definition.test,
        **shared,
        "distance_m": plain_number(distance),
        "time": f"{time:.2f}",
    }
    try:
        return read_record(Swim, form)
    except EntryError as wrong:
        problems += wrong.problems
        return None


def _check_date(swim: Swim, swimmer: Swimmer, as_of: dt.date, problems: list[Problem]) -> None:
    try:
        checked_past(swim.date, as_of, swimmer.born)
    except ValueError as wrong:
        problems.append(Problem("date", swim.date.isoformat(), str(wrong)))


def _course(text: str, fallback: str, problems: list[Problem]) -> str:
    if not text.strip():
        return fallback
    try:
        return checked_course(text)
    except ValueError as wrong:
        problems.append(Problem("course", clean_line(text), str(wrong)))
        return fallback


def _rate(text: str, problems: list[Problem]) -> str:
    try:
        return repr(parse_flagged_rate(text))
    except ValueError as wrong:
        problems.append(Problem("rate", clean_line(text), str(wrong)))
        return ""


def _swum(
    definition: SwimTest, times: Sequence[str], course: str, limits: Limits, problems: list[Problem]
) -> list[tuple[float, float]]:
    """Return metres and seconds of each swim."""
    match definition.kind:
        case SwimTestKind.DURATION:
            return _reached(definition, times, course, problems)
        case SwimTestKind.REPEATS:
            return _repeated(definition, times, course, limits, problems)
        case SwimTestKind.DISTANCES:
            return _each_once(definition, times, course, limits, problems)
        case other:
            assert_never(other)


def _each_once(
    definition: SwimTest, times: Sequence[str], course: str, limits: Limits, problems: list[Problem]
) -> list[tuple[float, float]]:
    named = [float(part) for part in definition.distances.split()]
    unit = "yd" if course == "SCY" else "m"
    if len(times) != len(named):
        order = ", then ".join(f"{plain_number(distance)} {unit}" for distance in named)
        problems.append(
            Problem("time", "", f"{definition.test} takes {_times(len(named))} ({order}); {len(times)} given")
        )
    return _timed([distance_in_m(distance, course) for distance in named], times, limits, problems)


def _times(count: int) -> str:
    return f"{count} time{'' if count == 1 else 's'}"


def _timed(
    distances: Sequence[float], times: Sequence[str], limits: Limits, problems: list[Problem]
) -> list[tuple[float, float]]:
    found = []
    for distance, text in zip(distances, times, strict=False):
        try:
            found.append((distance, round(typed_time(text, distance, limits), 2)))
        except ValueError as wrong:
            problems.append(time_problem("time", text, wrong))
    return found


def _reached(
    definition: SwimTest, times: Sequence[str], course: str, problems: list[Problem]
) -> list[tuple[float, float]]:
    seconds = definition.duration_s or 0.0
    if len(times) != 1:
        problems.append(
            Problem(
                "distance", "", f"{definition.test} takes one distance, such as 1480m; {len(times)} given"
            )
        )
        return []
    distance = metres_typed(times[0], course)
    if distance is None:
        problems.append(
            Problem("distance", clean_line(times[0]), f"{shown(times[0])} is no distance; write it as 1480m")
        )
        return []
    return [(distance, seconds)]


def _repeated(
    definition: SwimTest, times: Sequence[str], course: str, limits: Limits, problems: list[Problem]
) -> list[tuple[float, float]]:
    match = _REPEATS.fullmatch(times[0].strip()) if times else None
    if match is None and times and definition.distances:
        each = distance_in_m(float(definition.distances.split()[0]), course)
        return _timed([each] * len(times), times, limits, problems)
    distance = metres_typed(match[2], course) if match else None
    if match is None or distance is None or int(match[1]) < 1:
        typed = times[0] if times else ""
        problems.append(
            Problem(
                "repeats", clean_line(typed), f"{shown(typed)} is no set; write it as 10x100, then the times"
            )
        )
        return []
    count = int(match[1])
    if len(times) - 1 != count:
        problems.append(Problem("time", "", f"{times[0]} takes {_times(count)}; {len(times) - 1} given"))
    return _timed([distance] * count, times[1:], limits, problems)


def _counts_by_swim(text: str, distances: Sequence[float], course: str, problems: list[Problem]) -> list[str]:
    """Return the stroke counts of each swim: one for all, one each, or one a length throughout."""
    counts = text.replace(",", " ").split()
    swims = len(distances)
    if not counts or swims <= 1:
        return [" ".join(counts)] * swims
    if len(counts) == 1:
        return counts * swims
    if len(counts) == swims:
        return counts
    length = pool_length_m(course)
    lengths = [round(distance / length) for distance in distances] if length else []
    if sum(lengths) != len(counts):
        problems.append(
            Problem(
                "strokes",
                clean_line(text),
                f"{len(counts)} counts for {swims} swims; give one, one a swim, or one a length",
            )
        )
        return [""] * swims
    ends = [sum(lengths[: place + 1]) for place in range(swims)]
    return [" ".join(counts[end - many : end]) for end, many in zip(ends, lengths, strict=True)]
