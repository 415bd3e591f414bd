"""A second opinion in words: what it found, whether it agrees, and how far to trust it."""

from __future__ import annotations

import datetime as dt

import pytest

from tracker.engine.trend.second_opinion import LEVEL, Method, Opinion
from tracker.engine.trend.sensitivity import Drift
from tracker.engine.verdict.second_look import Rhythm
from tracker.output.sentences.second_look import drift_line, opinion_line, rhythm_line


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


@pytest.mark.parametrize(("name", "strain"), [("twice a week", True), ("weekly", False), ("monthly", False)])
def test_a_rhythm_of_all_out_swims_that_strains_says_so(name: str, *, strain: bool) -> None:
    line = rhythm_line(Rhythm(name, 22, dt.date(2026, 9, 1)))
    assert line.startswith(f"Testing {name}: more likely than not after about 22 more, by 1 September 2026.")
    said = "All-out swims this often are a strain; never under 18 (common practice)."
    assert (said in line) is strain


@pytest.mark.parametrize(("rate", "way"), [(0.2, "gaining on them"), (-0.2, "falling behind")])
def test_tests_that_drift_apart_are_told_of_in_a_plain_sentence(rate: float, way: str) -> None:
    drift = Drift("condition tests after a break", rate, rate - 0.1, rate + 0.1)
    line = drift_line(drift)
    assert line.startswith("Tests after a break, against all other tests: 0.20 % a month ")
    assert line.endswith(f", {way}.")
