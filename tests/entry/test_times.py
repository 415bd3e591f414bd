"""Times as people write them, and what only looks like one: other digits, NaN, too many seconds."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tracker.entry.times import LONGEST_S, parse_number, parse_time, parse_whole
from tracker.model.units import format_time


@pytest.mark.parametrize(
    ("text", "seconds"),
    [
        ("1:02.3", 62.3),
        ("62.3", 62.3),
        ("01:02.30", 62.3),
        ("0:59.99", 59.99),
        ("10:00", 600.0),
        ("1:02:03", 3723.0),
        ("1:02:03.5", 3723.5),
        ("75:00", 4500.0),
        (" 6:45 ", 405.0),
        ("405", 405.0),
        ("101.23456", 101.23456),
    ],
)
def test_written_times_are_read(text: str, seconds: float) -> None:
    assert parse_time(text) == seconds


def test_a_decimal_comma_counts_only_where_it_was_said_to() -> None:
    assert parse_time("1:02,3", comma=True) == 62.3
    with pytest.raises(ValueError, match=r"'1:02,3' has a comma; write a point"):
        parse_time("1:02,3")


@pytest.mark.parametrize(
    ("text", "reason"),
    [
        ("1:62.3", "'1:62.3' has 62 seconds"),
        ("6:75", "'6:75' has 75 seconds"),
        ("1:75:00", "'1:75:00' has 75 minutes"),
        ("1:2:3:4", "is not a time"),
        ("-1:02", "is negative"),
        ("0", "between 0 and 100 hours"),
        ("0:00.0", "between 0 and 100 hours"),
        ("999999", "between 0 and 100 hours"),
        ("", "is empty"),
        (":30", "is not a time"),
        ("1:", "is not a time"),
        ("6:5", "one digit of seconds"),
        ("1:02.3.4", "is not a time"),
        ("one", "is not a time"),
        ("nan", "is not a time"),
        ("inf", "is not a time"),
        ("1e309", "is not a time"),
        ("1_000", "is not a time"),
        ("١٢", "is not a time"),
        ("１２", "is not a time"),
        ("6:4５", "is not a time"),
        ("6:45\n6:50", "is not a time"),
        ("9" * 400, "is not a time"),
    ],
)
def test_what_is_no_time_is_refused_with_a_reason(text: str, reason: str) -> None:
    with pytest.raises(ValueError, match=reason.replace("(", r"\(")) as caught:
        parse_time(text)
    assert "\n" not in str(caught.value)
    assert len(str(caught.value)) < 160


@given(st.integers(1, int(LONGEST_S) * 100 - 1))
def test_what_is_printed_reads_back(hundredths: int) -> None:
    seconds = hundredths / 100
    assert parse_time(format_time(seconds)) == seconds


@given(st.text(alphabet="0123456789:., eE+-_naif\x1b١２"))
def test_any_text_gives_a_finite_positive_time_or_a_reason(text: str) -> None:
    refused = ""
    seconds = 1.0
    try:
        seconds = parse_time(text)
    except ValueError as why:
        refused = str(why)
    assert 0 < seconds < LONGEST_S
    assert "\x1b" not in refused


@pytest.mark.parametrize(("text", "number"), [("-0.5", -0.5), ("+3", 3.0), ("0", 0.0), ("1480", 1480.0)])
def test_numbers_are_read(text: str, number: float) -> None:
    assert parse_number(text) == number


@pytest.mark.parametrize("text", ["", "nan", "inf", "1e3", "1_0", "١", "1,5", ".5", "5.", "0x10", "9" * 20])
def test_what_is_no_number_is_refused(text: str) -> None:
    with pytest.raises(ValueError, match="is not a number"):
        parse_number(text)


def test_whole_numbers_have_no_fraction() -> None:
    assert parse_whole("3.0") == 3
    with pytest.raises(ValueError, match="is not a whole number"):
        parse_whole("3.5")


@pytest.mark.parametrize("text", ["1:59:59", "0:59"])
def test_fifty_nine_is_the_last_minute_and_the_last_second(text: str) -> None:
    assert parse_time(text) in {7199.0, 59.0}
    for wrong in (text.replace("59", "60", 1), text[:-2] + "60"):
        with pytest.raises(ValueError, match=r"60 (seconds|minutes)"):
            parse_time(wrong)
