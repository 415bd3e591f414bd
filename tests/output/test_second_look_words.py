"""A second opinion in words: what it found, whether it agrees, and how far to trust it."""

from __future__ import annotations

import pytest

from tracker.engine.trend.second_opinion import LEVEL, Method, Opinion
from tracker.output.sentences.second_look import opinion_line


@pytest.mark.parametrize(
    ("p", "agrees", "said"),
    [
        (0.003, True, "p = 0.003; agrees (it says that something changed, not when or how)."),
        (0.003, None, "p = 0.003; cannot tell (it says that something changed, not when or how)."),
        (0.654, True, "p = 0.654; agrees (no sign that one straight line would not do, "),
        (0.654, None, "p = 0.654; cannot tell (no sign that one straight line would not do, "),
        (LEVEL, True, "p = 0.050; agrees (no sign that one straight line would not do, "),
    ],
)
def test_a_test_for_one_line_claims_a_change_only_where_it_found_one(
    p: float, agrees: bool | None, said: str
) -> None:
    line = opinion_line(Opinion(Method.CUSUM, p, None, None, agrees))
    assert f"Test whether one straight line would do for the whole record: {said}" in line
    assert ("something changed" in line) is (p < LEVEL)


def test_a_rate_stands_with_its_interval_and_caveat() -> None:
    assert opinion_line(Opinion(Method.ROBUST, 0.02, -0.11, 0.14, agrees=False)) == (
        "Robust regression on the same joints: 0.02 % a month faster (0.11 slower to 0.14 faster); "
        "disagrees (it takes the joints as known, so its interval is too narrow)."
    )
