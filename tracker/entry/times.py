"""Times, numbers and rates as people type them.

ASCII digits only; `float` itself is never given what a person wrote, because it takes "nan",
"1_000" and the digits of other scripts.
"""

from __future__ import annotations

import re

LONGEST_S = 360_000.0
"""100 hours; anything longer is a slip of the pen."""

_SECONDS = re.compile(r"(\d{1,6})(?:\.(\d{1,25}))?", re.ASCII)
_CLOCK = re.compile(r"(?:(\d{1,2}):)?(\d{1,3}):(\d{2})(?:\.(\d{1,25}))?", re.ASCII)
_SHORT = re.compile(r"\d+:\d(?:\.\d+)?", re.ASCII)
_NUMBER = re.compile(r"[+-]?\d{1,12}(?:\.\d{1,400})?", re.ASCII)
_SHAPES = "write m:ss.t (6:45.2), h:mm:ss or seconds (405.2)"


def shown(text: str) -> str:
    """Return what was written, quoted, harmless and short enough for one line."""
    return repr(text if len(text) <= 40 else f"{text[:39]}…")


def parse_time(text: str, *, comma: bool = False) -> float:
    """Return the seconds that `text` says.

    Parameters
    ----------
    text
        ``m:ss``, ``m:ss.t``, ``m:ss.tt``, ``h:mm:ss`` or seconds, with or without decimals.
    comma
        Whether a decimal comma is as good as a point (set by the reader of a file, never guessed).

    Raises
    ------
    ValueError
        If it is no such time, is zero, or is 100 hours or more. The message begins with the
        quoted text, so that the name of the field can stand before it.
    """
    written = text.strip()
    plain = written.replace(",", ".") if comma else written
    if match := _CLOCK.fullmatch(plain):
        hours, minutes, seconds, fraction = match.groups()
        if int(seconds) > 59:
            raise ValueError(f"{shown(written)} has {int(seconds)} seconds")
        if hours is not None and int(minutes) > 59:
            raise ValueError(f"{shown(written)} has {int(minutes)} minutes")
        whole = int(hours or 0) * 3600 + int(minutes) * 60 + int(seconds)
    elif match := _SECONDS.fullmatch(plain):
        whole, fraction = int(match[1]), match[2]
    else:
        raise ValueError(_why_no_time(written))
    total = float(f"{whole}.{fraction or 0}")
    if not 0 < total < LONGEST_S:
        raise ValueError(f"{shown(written)} is not a time between 0 and 100 hours")
    return total


def _why_no_time(written: str) -> str:
    if not written:
        return f"'' is empty; {_SHAPES}"
    if written.startswith("-"):
        return f"{shown(written)} is negative"
    if "," in written:
        return f"{shown(written)} has a comma; write a point (1:02.3)"
    if _SHORT.fullmatch(written):
        return f"{shown(written)} has one digit of seconds; write two (6:05)"
    return f"{shown(written)} is not a time; {_SHAPES}"


def parse_number(text: str) -> float:
    """Return the decimal number that `text` says ("-0.5", "1480").

    Raises
    ------
    ValueError
        If it is not written in ASCII digits with at most one point.
    """
    written = text.strip()
    if not _NUMBER.fullmatch(written):
        raise ValueError(f"{shown(written)} is not a number")
    return float(written)


def parse_whole(text: str) -> int:
    """Return the whole number that `text` says; "3.0" is one.

    Raises
    ------
    ValueError
        If it is not a whole number.
    """
    number = parse_number(text)
    if number != int(number):
        raise ValueError(f"{shown(text.strip())} is not a whole number")
    return int(number)


_RATE = re.compile(r"(?P<number>\S+?)\s*(?P<unit>cpm|spm)?", re.ASCII)


def parse_rate(text: str) -> float:
    """Return cycles a minute: "32cpm", "64spm" (strokes, two a cycle), or a bare number of cycles.

    Raises
    ------
    ValueError
        If it is no rate.
    """
    match = _RATE.fullmatch(text.strip().lower())
    if match is None:
        raise ValueError(f"{shown(text)} is not a stroke rate; write 32cpm (cycles) or 64spm (strokes)")
    number = parse_number(match["number"])
    return number / 2 if match["unit"] == "spm" else number


def parse_flagged_rate(text: str) -> float:
    """Return cycles a minute from a typed rate, whose unit must be written.

    Raises
    ------
    ValueError
        If the unit is missing, or it is no rate.
    """
    if not text.strip().lower().endswith(("cpm", "spm")):
        raise ValueError(f"{shown(text)} does not say of what; write 32cpm (cycles) or 64spm (strokes)")
    return parse_rate(text)
