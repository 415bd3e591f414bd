"""False plateaus in words: what is expected of a roster, and what a cut costs."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from tracker.output.numbers import number, sure
from tracker.verdict.roster_error import DECLARED, ExpectedFalse

if TYPE_CHECKING:
    from tracker.trend.error_rates import ErrorRates


def expected_false_sentence(expected: ExpectedFalse) -> str:
    """Return how many of a roster's plateaus are expected to be none; empty without any."""
    if not expected.called:
        return ""
    wrong = expected.called * expected.share
    return (
        f"Of {expected.called} called a plateau about {number(wrong, 1)} are expected not to be "
        f"({100 * expected.share:.0f} %), if each is as sure as it says{_surest(expected)}."
    )


def _surest(expected: ExpectedFalse) -> str:
    """Return which of them to count where at most `DECLARED` are to be false."""
    if expected.share <= DECLARED:
        return ""
    if not expected.kept:
        return f"; none is sure enough for a list with at most {100 * DECLARED:.0f} % false ones"
    return (
        f"; of the {expected.kept} surest ({sure(expected.cut)} or more) at most {100 * DECLARED:.0f} % are"
    )


def cut_lines(found: ErrorRates, declared: float, present: float) -> list[str]:
    """Return the rates at each cut, the conditions, and the cut that keeps the declared rate."""
    lines = [
        f"cut {cut:.2f}: {rate:.3f} false plateaus a swimmer-year (Monte-Carlo error {error:.3f})"
        for cut, rate, error in zip(found.cuts, found.rate, found.error, strict=True)
    ]
    chosen = found.cut(declared)
    lines.append(
        f"For at most {declared:g} a swimmer-year the cut is {chosen:.2f}; now it is {present:.2f}. "
        f"Set it with 'slackwater config set cut {chosen:.2f}'."
    )
    lines.append(
        f"Conditions: {found.swimmers} simulated swimmers gaining steadily at {number(found.gain)} % a month "
        f"(twice the margin) on this roster's test dates and with its noise, {number(found.years, 0)} "
        "swimmer-years, looked at every week."
    )
    return lines


def cut_json(found: ErrorRates, declared: float, present: float) -> dict[str, Any]:
    """Return the same as JSON."""
    return {
        "schema": 1,
        "cuts": [
            {"cut": cut, "false_plateaus_per_swimmer_year": rate, "error": error}
            for cut, rate, error in zip(found.cuts, found.rate, found.error, strict=True)
        ],
        "declared": declared,
        "chosen": found.cut(declared),
        "present": present,
        "gain_pct_per_month": found.gain,
        "swimmers": found.swimmers,
        "swimmer_years": found.years,
        "look_every_days": 7,
    }
