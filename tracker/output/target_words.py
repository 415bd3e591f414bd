"""A swimmer's target in words: what it would take, and how likely it is if nothing changes."""

from __future__ import annotations

from tracker.output.numbers import full_day, pace, sure
from tracker.output.wording import has_rate
from tracker.verdict.verdict import Ahead, Target, Verdict


def target_sentence(aim: Target) -> str:
    """Return what the target asks for and how likely it is."""
    target = f"Target: {pace(aim.pace)} per 100 m by {full_day(aim.date)}."
    if aim.needed <= 0:
        return f"{target} The line is there already; {sure(aim.chance)} that a test is still there then."
    return (
        f"{target} That takes {aim.needed:.2f} % a month; "
        f"the chance that a test on that day is there is {sure(aim.chance)}."
    )


def ahead_sentence(ahead: Ahead) -> str:
    """Return the pace of a test to come, with its interval."""
    return (
        f"A test on {full_day(ahead.date)} is expected at {pace(ahead.pace)} "
        f"(90 %: {pace(ahead.fastest)} to {pace(ahead.slowest)})."
    )


def to_come(verdict: Verdict) -> list[str]:
    """Return every other pace to come, where the tests carry a rate to go on by, and the target."""
    ahead = [ahead_sentence(one) for one in verdict.ahead[::2]] if has_rate(verdict) else []
    return ahead + ([target_sentence(verdict.target)] if verdict.target else [])
