"""A calendar file: made at the session's moment, the same but for that."""

from __future__ import annotations

import datetime as dt

from icalendar import Calendar

from tests.output.cases import AS_OF
from tracker.output.calendar_file import calendar_bytes
from tracker.technique.dates_ahead import DateAhead, DateKind
from tracker.technique.due import Due


def test_the_stamp_is_the_sessions_moment_in_utc() -> None:
    """RFC 5545, 3.8.7.2: DTSTAMP is in UTC."""
    one = DateAhead(AS_OF, AS_OF, DateKind.LOOK, "Ada\nEND:VEVENT", "", Due(None, AS_OF))
    zone = dt.timezone(dt.timedelta(hours=2))
    made = calendar_bytes([(one, "abc")], dt.datetime(2026, 6, 30, 1, 30, tzinfo=zone))
    assert b"DTSTAMP:20260629T233000Z\r\n" in made
    (event,) = Calendar.from_ical(made).walk("VEVENT")
    assert event["DTSTART"].params["VALUE"] == "DATE"
    assert made.count(b"\r\nEND:VEVENT\r\n") == 1
    later = calendar_bytes([(one, "abc")], dt.datetime(2026, 7, 1, tzinfo=dt.UTC))
    changed = [a for a, b in zip(made.split(b"\r\n"), later.split(b"\r\n"), strict=True) if a != b]
    assert {line.split(b":")[0] for line in changed} == {b"DTSTAMP", b"LAST-MODIFIED"}
