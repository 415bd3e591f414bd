"""Dates as people write them; what could be two days, or none, is never guessed."""

from __future__ import annotations

import datetime as dt

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tracker.entry.dates import (
    EARLIEST,
    LATEST,
    UnknownOrderError,
    checked_past,
    parse_date,
    parse_file_date,
    parse_order,
)
from tracker.remedies import Mend

DAY = dt.date(2026, 1, 1)


@pytest.mark.parametrize(
    "text",
    [
        "2026-01-01",
        "20260101",
        " 2026-01-01 ",
        "2026-01-01T10:00Z",
        "2026-01-01T10:00+14:00",
        "2026-01-01 23:59:59.5",
    ],
)
def test_iso_dates_are_the_day_as_written(text: str) -> None:
    assert parse_date(text) == DAY


@pytest.mark.parametrize(
    ("text", "order", "day"),
    [
        ("01/02/2026", "dmy", dt.date(2026, 2, 1)),
        ("01/02/2026", "mdy", dt.date(2026, 1, 2)),
        ("1.2.2026", "DD.MM.YYYY", dt.date(2026, 2, 1)),
        ("2026/2/1", "ymd", dt.date(2026, 2, 1)),
        ("3-4-98", "%m-%d-%y", dt.date(1998, 3, 4)),
        ("3/4/05 00:00", "month/day/year", dt.date(2005, 3, 4)),
        ("2026-01-01", "dmy", DAY),
    ],
)
def test_another_order_is_read_when_it_is_named(text: str, order: str, day: dt.date) -> None:
    assert parse_date(text, order) == day


@pytest.mark.parametrize(
    ("text", "reason"),
    [
        ("01/02/2026", "does not say the order of day and month; write it as 2026-02-01"),
        ("26-1-2", "does not say the order of day and month"),
        ("2026-02-30", "no calendar has"),
        ("2026-13-01", "no calendar has"),
        ("2026-1-2", "is not a date"),
        ("0001-01-01", "outside the years"),
        ("9999-01-01", "outside the years"),
        ("2026-W01-1", "week date"),
        ("2026-0101", "is not a date"),
        ("2026-01-01T25:00", "is not a date"),
        ("٢٠٢٦-01-01", "is not a date"),
        ("", "is empty"),
        ("yesterday", "is not a date"),
    ],
)
def test_what_is_no_date_or_two_dates_is_refused(text: str, reason: str) -> None:
    with pytest.raises(ValueError, match=reason):
        parse_date(text)


@pytest.mark.parametrize(
    ("text", "order"), [("31/31/2026", "dmy"), ("2026/01/02", "dmy"), ("1/2/126", "dmy")]
)
def test_an_order_does_not_make_a_date_of_anything(text: str, order: str) -> None:
    with pytest.raises(ValueError, match=text):
        parse_date(text, order)


@pytest.mark.parametrize("text", ["", "dd", "ydm", "day", "1"])
def test_what_is_no_order_is_refused(text: str) -> None:
    with pytest.raises(ValueError, match="is not an order"):
        parse_order(text)


def test_the_future_begins_after_tomorrow() -> None:
    assert checked_past(dt.date(2026, 1, 2), DAY) == dt.date(2026, 1, 2)
    with pytest.raises(ValueError, match="has not come yet"):
        checked_past(dt.date(2026, 1, 3), DAY)


def test_nobody_swims_before_birth() -> None:
    assert checked_past(DAY, DAY, born=2026) == DAY
    with pytest.raises(ValueError, match="before the year of birth, 2027"):
        checked_past(DAY, DAY, born=2027)


@given(st.dates(EARLIEST, LATEST))
def test_every_iso_date_reads_back(day: dt.date) -> None:
    assert parse_date(day.isoformat()) == day
    assert parse_date(f"{day.day}.{day.month}.{day.year}", "dmy") == day


def test_only_a_files_order_can_be_said_for_all_its_dates() -> None:
    with pytest.raises(UnknownOrderError, match=r"'6\.11\.2025' .* write it as 2026-02-01$") as typed:
        parse_date("6.11.2025")
    assert typed.value.remedy is None
    with pytest.raises(UnknownOrderError, match=r"'6\.11\.2025' .* write it as 2026-02-01$") as in_a_file:
        parse_file_date("6.11.2025")
    assert in_a_file.value.remedy is Mend.SAY_DATE_ORDER
    assert parse_file_date("6.11.2025", "dmy") == dt.date(2025, 11, 6)
