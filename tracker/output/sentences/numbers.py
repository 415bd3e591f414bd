"""How numbers, dates and names of things are written; English, no locale."""

from __future__ import annotations

import datetime as dt
import math
from collections.abc import Sequence

from tracker.model.units import format_time

MONTHS = (
    "January",
    "February",
    "March",
    "April",
    "May",
    "June",
    "July",
    "August",
    "September",
    "October",
    "November",
    "December",
)


def day(date: dt.date, as_of: dt.date) -> str:
    """Return "11 February", with the year where it is not that of `as_of`."""
    text = f"{date.day} {MONTHS[date.month - 1]}"
    return text if date.year == as_of.year else f"{text} {date.year}"


def full_day(date: dt.date) -> str:
    """Return "11 February 2026"."""
    return f"{date.day} {MONTHS[date.month - 1]} {date.year}"


def month_name(date: dt.date) -> str:
    """Return "February 2026"."""
    return f"{MONTHS[date.month - 1]} {date.year}"


def between(low: dt.date | None, high: dt.date, as_of: dt.date) -> str:
    """Return "20 January to 4 March"; "before the record to 4 March" where `low` is None."""
    return f"{'before the record' if low is None else day(low, as_of)} to {day(high, as_of)}"


def span(begins: dt.date, ends: dt.date | None, as_of: dt.date) -> str:
    """Return "3 to 12 February", "3 February to 2 March", "since 3 February" or a single day."""
    if ends is None:
        return f"since {day(begins, as_of)}"
    if begins == ends:
        return day(begins, as_of)
    if (begins.year, begins.month) == (ends.year, ends.month):
        return f"{begins.day} to {day(ends, as_of)}"
    return f"{day(begins, as_of)} to {day(ends, as_of)}"


def number(value: float, decimals: int = 2) -> str:
    """Return `value` with at most `decimals` digits after the point, no trailing zeros, never "-0"."""
    text = f"{value:.{decimals}f}"
    if "." in text:
        text = text.rstrip("0").rstrip(".")
    return "0" if text == "-0" else text


def pace(seconds: float) -> str:
    """Return seconds per 100 m as m:ss.t."""
    return format_time(seconds, 1)


def sure(probability: float, cut: float | None = None) -> str:
    """Return "93 %"; a probability is never shown as certain or impossible.

    One below `cut` is never rounded up to it: at 0.7985 "80 % sure; it takes 80 %" would contradict itself.
    """
    whole = round(100 * probability)
    if cut is not None and probability < cut <= whole / 100:
        whole = math.floor(100 * probability)
    if whole >= 100:
        return "over 99 %"
    return "under 1 %" if whole < 1 else f"{whole} %"


def threshold(cut: float) -> str:
    """Return "80 %", with the digits that a cut between two whole percents needs."""
    return f"{number(100 * cut)} %"


def count(number_of: int, one: str, many: str = "") -> str:
    """Return "1 test", "5 tests"."""
    return f"{number_of} {one if number_of == 1 else many or one + 's'}"


def listed(parts: Sequence[str]) -> str:
    """Return "a", "a and b", "a, b and c"."""
    if len(parts) < 2:
        return "".join(parts)
    return f"{', '.join(parts[:-1])} and {parts[-1]}"


def capital(text: str) -> str:
    """Return `text` with its first letter large, the rest untouched."""
    return text[:1].upper() + text[1:]


def _turned(rate: float) -> str:
    """Return a rate's size and direction, "0.11 slower"."""
    size = f"{abs(rate):.2f}"
    if size == "0.00":
        return size
    return f"{size} {'faster' if rate > 0 else 'slower'}"


def rate_words(rate: float, low: float, high: float) -> str:
    """Return a rate in percent a month with its 90 % interval; + is faster.

    One direction is said once: "0.61 % a month faster (0.42 to 0.80)"; an interval that holds
    zero names both: "0.02 % a month faster (0.11 slower to 0.14 faster)".
    """
    size = f"{abs(rate):.2f} % a month"
    if f"{abs(rate):.2f}" != "0.00":
        size += " faster" if rate > 0 else " slower"
    if low > 0 and rate > 0:
        return f"{size} ({low:.2f} to {high:.2f})"
    if high < 0 and rate < 0:
        return f"{size} ({-high:.2f} to {-low:.2f})"
    return f"{size} ({_turned(low)} to {_turned(high)})"


def in_seconds(percent: float, at_pace: float) -> str:
    """Return what `percent` of a pace is, "0.2 s per 100 m"."""
    seconds = abs(percent) * at_pace / 100
    return f"{seconds:.2f} s per 100 m" if seconds < 0.095 else f"{seconds:.1f} s per 100 m"
