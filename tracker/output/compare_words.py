"""A test just swum, beside the line of the swimmer's record."""

from __future__ import annotations

from tracker.output.numbers import number, pace
from tracker.verdict.verdict import Verdict


def beside_the_line(test_pace: float, verdict: Verdict) -> str:
    """Return how a pace (s per 100 m) compares with the line, and whether that is ordinary scatter."""
    percent = 100 * (verdict.present_pace / test_pace - 1)
    way = "faster than" if percent >= 0 else "slower than"
    apart = f"{number(abs(percent), 1)} % {way} your line ({pace(verdict.present_pace)}, {verdict.reference})"
    ordinary = abs(percent) <= 1.645 * verdict.noise_pct
    scatter = "within" if ordinary else "outside"
    return f"{apart}, {scatter} the usual scatter of {number(verdict.noise_pct, 1)} %"
