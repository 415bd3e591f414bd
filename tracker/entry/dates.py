"""The one grammar of written dates.

ISO 8601 calendar dates, with or without hyphens and a time of day; the day is the day as
written, whatever the zone says, because a swim belongs to the day of the pool it was swum in.
Other orders only when the order is named: "01/02/2026" is never guessed. Week dates are refused.
"""

from __future__ import annotations

import datetime as dt
import re

from tracker.entry.times import shown
from tracker.errors import NotReadError
from tracker.remedies import Mend

EARLIEST = dt.date(1900, 1, 1)
LATEST = dt.date(2200, 12, 31)
ORDERS = ("dmy", "mdy", "ymd")

_CLOCK = r"(?:[T ]([01]\d|2[0-3]):?([0-5]\d)(?::?[0-5]\d(?:[.,]\d{1,9})?)?(?:Z|[+-]\d{2}(?::?\d{2})?)?)?"
_ISO = re.compile(rf"(\d{{4}})(-?)(\d{{2}})\2(\d{{2}}){_CLOCK}", re.ASCII)
_ORDERED = re.compile(r"(\d{1,4})([./ -])(\d{1,2})\2(\d{1,4})(?: \d{1,2}:\d{2}(?::\d{2})?)?", re.ASCII)
_WEEK = re.compile(r"\d{4}-?W\d{2}(?:-?\d)?", re.ASCII)


class UnknownOrderError(NotReadError):
    """A date whose day and month may be the other way round."""


def parse_order(text: str) -> str:
    """Return the order of day, month and year: "dmy", "mdy" or "ymd".

    Takes the order in letters or words: "dmy", "DD.MM.YYYY", "%m/%d/%Y", "month/day/year".

    Raises
    ------
    ValueError
        If it is none of them.
    """
    parts = re.findall("[a-z]+", text.lower())
    letters = parts[0] if len(parts) == 1 else "".join(part[0] for part in parts)
    order = re.sub(r"(.)\1+", r"\1", letters)
    if order not in ORDERS:
        raise ValueError(f"{shown(text)} is not an order of day, month and year; use dmy, mdy or ymd")
    return order


def parse_date(text: str, order: str | None = None) -> dt.date:
    """Return the day that `text` says.

    Parameters
    ----------
    text
        An ISO 8601 date or date and time; with `order`, also day, month and year in that order
        with ``.``, ``/``, ``-`` or a blank between. A year of two digits is 1969 to 2068 (POSIX).
    order
        As `parse_order` takes it; None takes ISO 8601 only.

    Raises
    ------
    ValueError
        If it is no such date, or one that no calendar has, or lies outside 1900 to 2200.
        The message begins with the quoted text.
    """
    written = text.strip()
    if match := _ISO.fullmatch(written):
        return _day(written, int(match[1]), int(match[3]), int(match[4]))
    match = _ORDERED.fullmatch(written)
    if match is None or (order is None and len(match[1]) == 4):
        raise ValueError(_why_no_date(written))
    if order is None:
        raise UnknownOrderError(
            f"{shown(written)} does not say the order of day and month; write it as 2026-02-01"
        )
    fields = dict(zip(parse_order(order), (match[1], match[3], match[4]), strict=True))
    if len(fields["d"]) > 2 or len(fields["m"]) > 2 or len(fields["y"]) not in {2, 4}:
        raise ValueError(f"{shown(written)} is not a date in the order {order}")
    year = int(fields["y"])
    if len(fields["y"]) == 2:
        year += 1900 if year >= 69 else 2000
    return _day(written, year, int(fields["m"]), int(fields["d"]))


def parse_file_date(text: str, order: str | None = None) -> dt.date:
    """Return the day that a cell of a file says, as `parse_date`; its error asks for the file's order.

    Raises
    ------
    ValueError
        As `parse_date`.
    """
    try:
        return parse_date(text, order)
    except UnknownOrderError as wrong:
        raise UnknownOrderError(str(wrong), Mend.SAY_DATE_ORDER) from None


def _why_no_date(written: str) -> str:
    if not written:
        return "'' is empty; write a date as 2026-02-01"
    if _WEEK.fullmatch(written):
        return f"{shown(written)} is a week date; write the day as 2026-02-01"
    return f"{shown(written)} is not a date; write it as 2026-02-01"


def _day(written: str, year: int, month: int, day: int) -> dt.date:
    try:
        found = dt.date(year, month, day)
    except ValueError as impossible:
        raise ValueError(f"{shown(written)} is a day that no calendar has") from impossible
    if not EARLIEST <= found <= LATEST:
        raise ValueError(f"{shown(written)} lies outside the years 1900 to 2200")
    return found


def checked_past(day: dt.date, as_of: dt.date, born: int | None = None) -> dt.date:
    """Return `day`, for something that has happened.

    Parameters
    ----------
    as_of
        Today; one day of grace is given for zones ahead of ours.
    born
        Year of birth, if known.

    Raises
    ------
    ValueError
        If the day lies beyond tomorrow or before the birth.
    """
    if day > as_of + dt.timedelta(days=1):
        raise ValueError(f"'{day}' has not come yet (today is {as_of})")
    if born is not None and day.year < born:
        raise ValueError(f"'{day}' lies before the year of birth, {born}")
    return day
