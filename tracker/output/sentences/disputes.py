"""Sentences on reviewers who disagree."""

from __future__ import annotations

import datetime as dt
from typing import TYPE_CHECKING

from tracker.output.sentences.link import FaultNames, fault_name
from tracker.output.sentences.numbers import capital, day, listed

if TYPE_CHECKING:
    from tracker.technique.disputes import Dispute


def dispute_line(dispute: Dispute, names: FaultNames, as_of: dt.date) -> str:
    """Return who said what of a fault on one day, which of it counts, and why."""
    counts = "corrected" if dispute.corrected else "uncorrected"
    why = (
        "only that look has a clip or a measure"
        if dispute.by_care
        else "neither look is the more careful one, so the fault stays"
    )
    return (
        f"{capital(fault_name(dispute.fault, dispute.side, names))}: on {day(dispute.day, as_of)} "
        f"{listed(dispute.corrected_by)} saw it corrected, {listed(dispute.seen_by)} still saw it. "
        f"It counts as {counts}: {why}."
    )
