"""How a stroke rate is written: cycles or strokes a minute, never guessed which."""

from __future__ import annotations

import re

from tracker.entry.times import parse_number, shown

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
