"""A swimmer's target in words: what it would take, and how likely it is if nothing changes."""

from __future__ import annotations

from tracker.output.numbers import full_day, pace, sure
from tracker.verdict.target import Outlook


def outlook_sentence(outlook: Outlook) -> str:
    """Return what the target asks for and how likely it is."""
    target = f"Target: {pace(outlook.pace)} per 100 m by {full_day(outlook.date)}."
    if outlook.needed <= 0:
        return f"{target} The line is there already; {sure(outlook.chance)} that it still is then."
    return (
        f"{target} That takes {outlook.needed:.2f} % a month; the chance is {sure(outlook.chance)} "
        "if the present rate lasts."
    )
