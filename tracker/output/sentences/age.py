"""Sentences on what age alone does to pace: a second line under the verdict."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, assert_never

from tracker.engine.verdict.age import AgeComparison
from tracker.output.sentences.numbers import number, sure

if TYPE_CHECKING:
    from tracker.engine.verdict.age import AgeYardstick


def age_line(found: AgeYardstick | None) -> str:
    """Return the swimmer's rate beside that of age alone; empty where there is no yardstick.

    It names no sex where none is on record.
    """
    if found is None:
        return ""
    age = math.floor(found.age)
    if found.growing:
        usual = _usual(found.alone, found.alone_low, found.alone_high)
        return f"At about {age}, {_whom(found)} gain {usual} by growth alone. {_growing(found)}"
    usual = _usual(-found.alone, -found.alone_high, -found.alone_low)
    known = "as far as swimmers of different ages compared show"
    return f"At about {age}, {_whom(found)} lose {usual} by age alone, {known}. {_declining(found)}"


def _whom(found: AgeYardstick) -> str:
    match found.sex:
        case "f":
            return "girls" if found.growing else "women"
        case "m":
            return "boys" if found.growing else "men"
        case "":
            return "swimmers"
        case other:
            assert_never(other)


def _usual(size: float, low: float, high: float) -> str:
    """Return "about 2.8 % a year (90 %: 0.3 to 5.8)"; "up to" where the interval begins at nothing."""
    most = number(high, 1)
    span = f"{number(low, 1)} to {most}" if low >= 0.05 else f"up to {most}"
    return f"about {number(size, 1)} % a year (90 %: {span})"


def _present(found: AgeYardstick) -> str:
    size = number(abs(found.rate), 1)
    turned = "" if size == "0" else " faster" if found.rate > 0 else " slower"
    return f"The present rate, {size} % a year{turned},"


def _growing(found: AgeYardstick) -> str:
    match found.comparison:
        case AgeComparison.BETTER:
            said = f"is probably more than age alone would give; {sure(found.p_better)} sure"
        case AgeComparison.WITHIN:
            said = "is within what age alone may give"
        case AgeComparison.WORSE:
            said = f"is no more than age alone would give; {sure(1 - found.p_better)} sure"
        case other:
            assert_never(other)
    return f"{_present(found)} {said}."


def _declining(found: AgeYardstick) -> str:
    match found.comparison:
        case AgeComparison.BETTER:
            said = f"is probably better than age alone would bring; {sure(found.p_better)} sure"
        case AgeComparison.WITHIN:
            said = "cannot be told apart from ageing alone"
        case AgeComparison.WORSE:
            said = f"is probably slower than age alone would bring; {sure(1 - found.p_better)} sure"
        case other:
            assert_never(other)
    return f"{_present(found)} {said}."
