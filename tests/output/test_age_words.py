"""The line on age: whole sentences, one reading each, no sex where none is on record."""

from __future__ import annotations

import datetime as dt
from typing import Literal

import pytest

from tracker.engine.verdict.age import age_yardstick
from tracker.output.sentences.age import age_line

DAY = dt.date(2026, 11, 28)


@pytest.mark.parametrize(
    ("born", "sex", "monthly", "said"),
    [
        (
            2012,
            "",
            (0.2, 0.5, 0.8),
            "At about 14, swimmers gain about 2.8 % a year (90 %: up to 6.1) by growth alone. The present "
            "rate, 6 % a year faster, is probably more than age alone would give; 87 % sure.",
        ),
        (
            2016,
            "f",
            (0.2, 0.5, 0.8),
            "At about 10, girls gain about 5 % a year (90 %: 0.1 to 9.9) by growth alone. The present "
            "rate, 6 % a year faster, is within what age alone may give.",
        ),
        (
            2012,
            "m",
            (-0.1, 0.0, 0.1),
            "At about 14, boys gain about 3.5 % a year (90 %: 0.2 to 6.8) by growth alone. The present "
            "rate, 0 % a year, is no more than age alone would give; 95 % sure.",
        ),
        (
            1966,
            "",
            (-0.13, 0.02, 0.14),
            "At about 60, swimmers lose about 1.1 % a year (90 %: 0.2 to 2.1) by age alone, as far as "
            "swimmers of different ages compared show. The present "
            "rate, 0.2 % a year faster, is probably better than age alone would bring; 87 % sure.",
        ),
        (
            1966,
            "m",
            (-0.5, -0.3, -0.1),
            "At about 60, men lose about 1 % a year (90 %: 0.2 to 1.9) by age alone, as far as "
            "swimmers of different ages compared show. The present "
            "rate, 3.6 % a year slower, is probably slower than age alone would bring; 95 % sure.",
        ),
        (
            1946,
            "f",
            (-0.45, 0.1, 0.65),
            "At about 80, women lose about 2.2 % a year (90 %: 0.4 to 4.1) by age alone, as far as "
            "swimmers of different ages compared show. The present "
            "rate, 1.2 % a year faster, cannot be told apart from ageing alone.",
        ),
        (
            1946,
            "f",
            (-0.3, -0.15, 0.0),
            "At about 80, women lose about 2.2 % a year (90 %: 0.4 to 4.1) by age alone, as far as "
            "swimmers of different ages compared show. The present "
            "rate, 1.8 % a year slower, cannot be told apart from ageing alone.",
        ),
    ],
)
def test_each_reading_is_said_whole(
    born: int, sex: Literal["", "f", "m"], monthly: tuple[float, float, float], said: str
) -> None:
    assert age_line(age_yardstick(monthly, born, sex, DAY)) == said


def test_nothing_is_said_without_a_yardstick() -> None:
    assert age_line(None) == ""
    assert age_line(age_yardstick((0.1, 0.2, 0.3), 2020, "f", DAY)) == ""
