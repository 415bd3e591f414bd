"""Lengths, courses, paces and how a time is written.

Seconds, metres and m/s throughout; pace is seconds per 100 m in every course.
"""

from __future__ import annotations

import re

DAYS_PER_MONTH = 30.4375
"""A twelfth of 365.25 days."""

YARD_M = 0.9144
"""Metres in a yard, exact (international yard and pound agreement, 1959)."""

OPEN_WATER = "OW"
_POOLS = {"SCM": 25.0, "LCM": 50.0, "SCY": 25 * YARD_M}
_LENGTH = re.compile(r"[1-9][0-9]{0,2}(?:\.[0-9]{1,2})?m", re.ASCII)
LEAST_EFFORT = 8
"""A swim below is no test: a point of effort is worth about 4 % of pace and is about what a person can tell,
so what it says of form is lost in that (derived from effort against load, Ueda & Kurokawa 1995)."""


def checked_course(course: str) -> str:
    """Return the course as it is stored: SCM, LCM, SCY, OW or a pool length such as "33.3m".

    Raises
    ------
    ValueError
        If it is none of them.
    """
    text = course.strip()
    if text.upper() in _POOLS or text.upper() == OPEN_WATER:
        return text.upper()
    if _LENGTH.fullmatch(text.lower()):
        length = float(text[:-1])
        return {25.0: "SCM", 50.0: "LCM"}.get(length, f"{plain_number(length)}m")
    raise ValueError(f"{course!r} is not a course; use SCM, LCM, SCY, OW or a pool length such as 33.3m")


def pool_length_m(course: str) -> float | None:
    """Return the length of the pool in metres; None in open water."""
    if course == OPEN_WATER:
        return None
    return _POOLS[course] if course in _POOLS else float(course[:-1])


def distance_in_m(distance: float, course: str) -> float:
    """Return a distance named in the course's own unit (yards in SCY) in metres."""
    return distance * YARD_M if course == "SCY" else distance


def pace_per_100(distance_m: float, time_s: float) -> float:
    """Return seconds per 100 m."""
    return 100.0 * time_s / distance_m


def speed(distance_m: float, time_s: float) -> float:
    """Return metres per second."""
    return distance_m / time_s


def plain_number(value: float) -> str:
    """Return the shortest decimal form that reads back as the same number ("25", "33.3")."""
    return str(int(value)) if value == int(value) and abs(value) < 1e15 else repr(float(value))


def format_time(seconds: float, decimals: int | None = None) -> str:
    """Return a time as m:ss, m:ss.t, m:ss.tt or h:mm:ss.

    Parameters
    ----------
    seconds
        Not negative.
    decimals
        Digits after the point; None keeps what hundredths there are ("1:02.3", "6:45").
    """
    hundredths = (
        round(seconds * 100) if decimals is None else round(seconds * 10**decimals) * 10 ** (2 - decimals)
    )
    whole, part = divmod(hundredths, 100)
    minutes, secs = divmod(whole, 60)
    hours, minutes = divmod(minutes, 60)
    text = f"{hours}:{minutes:02d}:{secs:02d}" if hours else f"{minutes}:{secs:02d}"
    fraction = f"{part:02d}"[: 2 if decimals is None else decimals]
    if decimals is None:
        fraction = fraction.rstrip("0")
    return f"{text}.{fraction}" if fraction else text
