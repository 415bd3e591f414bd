"""Apply typed corrections to a logged swim; it still has to fit its test."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import assert_never

from tracker.entry.forms import changed_record
from tracker.entry.swim_form import metres_typed
from tracker.entry.times import parse_flagged_rate, shown
from tracker.entry.typed_times import time_problem, typed_time
from tracker.errors import EntryError, Problem
from tracker.model.plausibility import Limits
from tracker.model.swim import Swim
from tracker.model.swim_test import SwimTest
from tracker.model.units import checked_course, distance_in_m, format_time, plain_number
from tracker.model.vocabularies import SwimTestKind

SAME_M, SAME_S = 0.05, 0.5
"""So near a swim is to the distance (yards rounded to 0.1 m) or the time that its test asks for."""


def edited_swim(old: Swim, form: Mapping[str, str], definition: SwimTest | None, *, limits: Limits) -> Swim:
    """Return a logged swim with the typed fields put in; an empty one goes back to nothing.

    Parameters
    ----------
    form
        What changes, as typed; a distance without a unit is in the course's own.
    definition
        The test that it is then a swim of, None for none. Where the course goes from metres to yards
        or back, the test's distance goes with it.
    limits
        Between which paces a swim may be; that decides how a time may be meant.

    Raises
    ------
    EntryError
        With every problem of the form; also if the test asks for another distance or time.
    """
    problems: list[Problem] = []
    course = _course(form.get("course", ""), old.course)
    typed = dict(form)
    for name in ("rate", "rate_cpm"):
        _read(typed, name, parse_flagged_rate, problems)
    _read(typed, "distance", lambda text: _metres(text, course), problems)
    if "distance" not in form and (moved := _in_new_unit(old, course, definition)) is not None:
        typed["distance"] = repr(moved)
    metres = float(typed.get("distance", "").strip() or old.distance_m)  # as `_read` wrote it
    _read(typed, "time", lambda text: typed_time(text, metres, limits), problems)
    if definition is not None and typed.get("test", "").strip():
        typed["test"] = definition.test
    try:
        new = changed_record(old, typed)
    except EntryError as wrong:
        raise EntryError((*problems, *wrong.problems)) from None
    if definition is not None and not problems:
        problems += _not_as_asked(old, new, definition)
    if problems:
        raise EntryError(tuple(problems))
    return new


def _read(typed: dict[str, str], name: str, parse: Callable[[str], float], problems: list[Problem]) -> None:
    """Put the number that a field says in its place; what says none is left out, with its problem."""
    text = typed.get(name, "")
    if text.strip():
        try:
            typed[name] = repr(parse(text))
        except ValueError as wrong:
            problems.append(time_problem(name.partition("_")[0], text, wrong))
            del typed[name]


def _metres(text: str, course: str) -> float:
    metres = metres_typed(text, course)
    if metres is None:
        raise ValueError(f"{shown(text)} is no distance; write it as 400m or 400yd")
    return metres


def _course(text: str, old: str) -> str:
    """Return the course typed, the old one where none or a wrong one is (which `changed_record` reports)."""
    try:
        return checked_course(text) if text.strip() else old
    except ValueError:
        return old


def _asked(definition: SwimTest, course: str) -> list[float]:
    """Return the metres that a test asks for on a course; none where the swimmer chooses."""
    return [distance_in_m(float(part), course) for part in definition.distances.split()]


def _in_new_unit(old: Swim, course: str, definition: SwimTest | None) -> float | None:
    """Return the metres of the test's distance on the new course; None where it stays."""
    if definition is None or (old.course == "SCY") == (course == "SCY"):
        return None
    pairs = zip(_asked(definition, old.course), _asked(definition, course), strict=True)
    return next((new for before, new in pairs if abs(before - old.distance_m) < SAME_M), None)


def _fixed_time(definition: SwimTest) -> float | None:
    match definition.kind:
        case SwimTestKind.DURATION:
            return definition.duration_s
        case SwimTestKind.DISTANCES | SwimTestKind.REPEATS:
            return None
        case other:
            assert_never(other)


def _not_as_asked(old: Swim, new: Swim, definition: SwimTest) -> list[Problem]:
    """Return a problem if the change makes it a swim that its test is not; what was so before may stay."""
    found = []
    asked = _asked(definition, new.course)
    moved = (old.test, old.course, old.distance_m) != (new.test, new.course, new.distance_m)
    if asked and moved and all(abs(metres - new.distance_m) >= SAME_M for metres in asked):
        unit = "yd" if new.course == "SCY" else "m"
        swum = plain_number(round(new.distance_m / distance_in_m(1.0, new.course), 2))
        wanted = " or ".join(definition.distances.split())
        found.append(
            f"{definition.test} is {wanted} {unit}, and this is {swum} {unit}; "
            "correct the distance too, or the test"
        )
    seconds = _fixed_time(definition)
    timed = (old.test, old.time_s) != (new.test, new.time_s)
    if seconds and timed and abs(seconds - new.time_s) >= SAME_S:
        found.append(
            f"{definition.test} takes {format_time(seconds)}, and this took {format_time(new.time_s)}; "
            "correct time and distance too, or the test"
        )
    return [Problem("test", definition.test, said) for said in found]
