"""Dates as a calendar file (RFC 5545): labels only, whole days.

The library is an extra, loaded when a file is written.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable
from importlib.util import find_spec
from typing import Final

from tracker.errors import UsageError
from tracker.model.text import clean_line
from tracker.output.sentences.due import date_title
from tracker.technique.dates_ahead import DateAhead

EXTRA_COMMAND: Final = ".venv/bin/pip install '.[calendar]'"
MAKER: Final = "-//slackwater//dates ahead//EN"
NAME: Final = "slackwater"


def check_installed() -> None:
    """Raise `UsageError` if the library that writes the file is not installed."""
    if find_spec("icalendar") is None:
        raise UsageError(f"a calendar file needs an extra; in a copy of the project: {EXTRA_COMMAND}")


def calendar_bytes(dates: Iterable[tuple[DateAhead, str]], now: dt.datetime) -> bytes:
    """Return the file.

    Parameters
    ----------
    dates
        Each with its identifier.
    now
        The moment it is made, with its zone.
    """
    from icalendar import Calendar, Event

    calendar = Calendar()
    calendar.add("prodid", MAKER)
    calendar.add("version", "2.0")
    calendar.add("calscale", "GREGORIAN")
    calendar.add("method", "PUBLISH")
    calendar.add("name", NAME)
    for one, identifier in dates:
        event = Event()
        event.add("uid", identifier)
        event.add("dtstamp", now.astimezone(dt.UTC))
        event.add("last-modified", now.astimezone(dt.UTC))
        event.add("dtstart", one.date)
        event.add("dtend", one.ends + dt.timedelta(days=1))  # the day after: RFC 5545, 3.6.1
        event.add("summary", clean_line(date_title(one)))
        event.add("class", "PRIVATE")
        event.add("transp", "TRANSPARENT")
        calendar.add_component(event)
    return bytes(calendar.to_ical())
