"""Each reason of a verdict is one sentence with its numbers."""

from __future__ import annotations

import datetime as dt
import math

import pytest

from tests.output.cases import verdict_like
from tracker.engine.verdict.verdict import (
    FewTests,
    HiddenSwitch,
    MoreTests,
    NotSure,
    SetAside,
    SetAsideTests,
    ShortRecord,
    Sure,
    VerdictReason,
    Word,
)
from tracker.output.sentences.reasons import (
    check_typing,
    rate_and_noise,
    sentence,
    set_aside_line,
)


@pytest.mark.parametrize(
    ("reason", "said"),
    [
        (FewTests(1, 8), "1 test on record; a verdict needs 8."),
        (ShortRecord(7.4, 10.0), "The record covers 7 weeks; a verdict needs 10."),
        (
            NotSure(Word.PLATEAU, 0.7985, 0.8),
            "The likeliest answer so far is plateau, 79 % sure; it takes 80 % to be said.",
        ),
        (
            Sure(Word.GAINING, 0.9, 0.8, 0.5),
            'The present rate is above the margin with 90 %; "gaining" is said from 80 % and kept until it '
            "falls below 50 %.",
        ),
        (SetAsideTests(1, 9.2), "1 test set aside; check the typing: 9 typical errors from the line."),
        (
            SetAsideTests(2, 9.2),
            "2 tests set aside; check the typing: 9 typical errors from the line at most.",
        ),
        (HiddenSwitch("LCM"), "Cannot separate the change from the switch to LCM."),
        (HiddenSwitch("wetsuit"), "Cannot separate the change from the switch to the wetsuit."),
        (MoreTests(0), "The next test may tell."),
        (MoreTests(1), "About 1 more test may tell at this rhythm: a word is then more likely than not."),
        (MoreTests(None), "At this rhythm of testing a word is not likely within a year."),
    ],
)
def test_each_reason_is_one_sentence_with_its_numbers(reason: VerdictReason, said: str) -> None:
    assert sentence(reason) == said


def test_the_noise_says_what_two_single_tests_can_show() -> None:
    """1.96 * sqrt(2) * typical error, the minimal detectable change of two tests (3.3 % at 1.2 %)."""
    assert math.isclose(1.96 * math.sqrt(2) * 1.2, 3.326, abs_tol=0.001)
    _, noise = rate_and_noise(verdict_like(noise_pct=1.2))
    assert "less than 3.3 % apart" in noise


def test_a_set_aside_test_asks_for_the_typing() -> None:
    assert check_typing(-9.2) == "check the typing: 9 typical errors from the line"
    assert set_aside_line(SetAside(dt.date(2025, 11, 3), 9.2, 120.0)) == (
        "The test of 3 November 2025 is set aside; check the typing: 9 typical errors from the line."
    )
