"""A time as a person types it: an ambiguous one is asked about, never guessed.

`parse_time` is the grammar, and columns of a file go by it alone: 640 there is 640 seconds. A hand
also types 640 for 6:40, 6.40 for 6:40 and 30 for 30:00. What can be swum decides; where it does not,
the person does.
"""

from __future__ import annotations

import re

from tracker.entry.times import parse_time, shown
from tracker.errors import Problem
from tracker.model.plausibility import Limits, pace_doubts
from tracker.model.text import clean_line
from tracker.model.units import format_time, pace_per_100

_RUN_TOGETHER = re.compile(r"(?:(\d{1,2})(?=\d{4}))?(\d{1,2})([0-5]\d)(\.\d{1,2})?", re.ASCII)
"""640, 640.5, 1032, 11032: h, mm and ss without the colons."""
_POINTED = re.compile(r"()(\d{1,3})[.,]([0-5]\d)()", re.ASCII)
"""6.40 and 6,40."""
_MINUTES = re.compile(r"\d{1,3}", re.ASCII)


class UnclearTimeError(ValueError):
    """A time that a person must say more plainly; holds each reading as it is typed without doubt."""

    def __init__(self, said: str, choices: tuple[str, ...]) -> None:
        super().__init__(said)
        self.choices = choices


def typed_time(text: str, distance_m: float | None = None, limits: Limits | None = None) -> float:
    """Return the seconds that a typed time over a distance means.

    Parameters
    ----------
    distance_m
        What was swum in that time; None where it is no swim, and any time may be.
    limits
        Between which paces a swim may be; None for any.

    Raises
    ------
    UnclearTimeError
        If several readings may be, or none but one that is not what stands there.
    ValueError
        If it is no time at all.
    """

    def may_be(seconds: float) -> bool:
        return distance_m is None or limits is None or not _doubtful(seconds, distance_m, limits)

    written = text.strip()
    pointed = _clock(_POINTED.fullmatch(written))
    if "," in written and pointed is not None and may_be(pointed):
        raise UnclearTimeError(
            f"{shown(written)} has a comma; did you mean {format_time(pointed)}?", _as_typed(pointed)
        )
    literal = parse_time(written)
    together = _clock(_RUN_TOGETHER.fullmatch(written))
    readings = [literal] if together is None else [together, literal]
    if len(fits := [seconds for seconds in readings if may_be(seconds)]) == 1:
        return fits[0]
    if not fits:
        minutes = literal * 60 if _MINUTES.fullmatch(written) else None
        meant = [seconds for seconds in (pointed, minutes) if seconds is not None and may_be(seconds)]
        if meant and distance_m is not None:
            pace = format_time(pace_per_100(distance_m, literal), 1)
            said = f"{shown(written)} is {literal:g} s: {pace} per 100 m is no pace of a swim"
            raise UnclearTimeError(f"{said}; did you mean {format_time(meant[0])}?", _as_typed(*meant))
        if together is None:
            return literal
    choices = _as_typed(*readings)
    raise UnclearTimeError(
        f"{shown(written)} may be {' or '.join(choices)}; type the one that is meant", choices
    )


def typed_pace(text: str, limits: Limits) -> float:
    """Return the seconds per 100 m of a pace as typed.

    Raises
    ------
    UnclearTimeError
        If it is not plain which pace it says.
    ValueError
        If it is no time, or a pace that nobody swims at.
    """
    pace = typed_time(text, 100.0, limits)
    if _doubtful(pace, 100.0, limits):
        between = f"{format_time(limits.fastest_pace_s)} to {format_time(limits.slowest_pace_s)}"
        raise ValueError(f"{shown(text.strip())} is {format_time(pace)} per 100 m; a pace is {between}")
    return pace


def time_problem(field: str, text: str, error: ValueError) -> Problem:
    """Return the problem of a field that holds a time, with the readings to choose from if it has some."""
    choices = error.choices if isinstance(error, UnclearTimeError) else ()
    return Problem(field, clean_line(text.strip()), str(error), choices=choices)


def _doubtful(seconds: float, distance_m: float, limits: Limits) -> bool:
    return bool(pace_doubts(pace_per_100(distance_m, seconds), limits, distance_m))


def _clock(match: re.Match[str] | None) -> float | None:
    """Return the seconds of the parts of a clock; None if they are none."""
    if match is None:
        return None
    hours, minutes, seconds, fraction = (part or "" for part in match.groups())
    try:
        return parse_time(f"{hours}:{minutes.zfill(2)}:{seconds}{fraction}".removeprefix(":"))
    except ValueError:
        return None


def _as_typed(*readings: float) -> tuple[str, ...]:
    return tuple(dict.fromkeys(format_time(seconds) for seconds in readings))
