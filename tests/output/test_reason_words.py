"""Each code has a sentence; an unknown code is an error, not a silence."""

from __future__ import annotations

import datetime as dt
import math

import pytest

from tracker.engine.verdict.verdict import Reason, SetAside, Value
from tracker.output.sentences.reasons import SENTENCES, check_typing, sentence, set_aside_line

DAY = dt.date(2026, 2, 11)
NUMBERS: dict[str, dict[str, Value]] = {
    "few_tests": {"tests": 1, "needed": 8},
    "short_record": {"weeks": 7.4, "needed": 10.0},
    "no_class": {"word": "plateau", "p": 0.7, "cut": 0.8},
    "p_class": {"word": "gaining", "p": 0.9, "cut": 0.8},
    "since": {"since": DAY, "low": None, "high": DAY, "as_of": DAY},
    "before_record": {"first": DAY},
    "rate": {"rate": 0.6, "low": 0.4, "high": 0.8, "pace": 100.0},
    "noise": {"noise": 1.2, "pace": 100.0},
    "tests_to_tell": {"tests": None},
    "set_aside": {"tests": 2, "worst": 9.2},
    "slowed": {"before": 0.8, "p": 0.9},
    "stale": {"last": DAY, "days": 70},
    "holding_pace": {"age": 63},
    "left_out": {"swims": 3, "why": "with kit"},
    "alias": {"what": "LCM"},
    "prior_depends": {"other": "gaining"},
    "drift": {"rate": 0.1, "low": 0.02, "high": 0.2},
}


@pytest.mark.parametrize("code", sorted(SENTENCES))
def test_every_code_is_one_sentence_with_its_numbers(code: str) -> None:
    said = sentence(Reason(code, NUMBERS[code]))
    assert said[0].isupper() or said[0].isdigit()
    assert said.endswith(".")
    assert "because" not in said.lower()
    assert "None" not in said


def test_an_unknown_code_is_an_error() -> None:
    with pytest.raises(KeyError):
        sentence(Reason("hunch"))


def test_the_noise_says_what_two_single_tests_can_show() -> None:
    """1.96 * sqrt(2) * typical error, the minimal detectable change of two tests (3.3 % at 1.2 %)."""
    assert math.isclose(1.96 * math.sqrt(2) * 1.2, 3.326, abs_tol=0.001)
    assert "less than 3.3 % apart" in sentence(Reason("noise", NUMBERS["noise"]))


def test_holding_pace_at_sixty_is_called_a_gain() -> None:
    assert "a gain of about 0.6 % a year" in sentence(Reason("holding_pace", {"age": 60}))


def test_a_set_aside_test_asks_for_the_typing() -> None:
    assert check_typing(-9.2) == "check the typing: 9 typical errors from the line"
    assert set_aside_line(SetAside(dt.date(2025, 11, 3), 9.2, 120.0)) == (
        "The test of 3 November 2025 is set aside; check the typing: 9 typical errors from the line."
    )
