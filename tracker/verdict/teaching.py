"""What a roster taught, with a second opinion on it."""

from __future__ import annotations

from dataclasses import dataclass

from tracker.trend.roster_opinion import RosterOpinion
from tracker.verdict.judge import Taught


@dataclass(frozen=True)
class Teaching:
    """What the roster taught, or what is built in; `opinion` is None where `missing` says why."""

    taught: Taught
    band: float
    opinion: RosterOpinion | None
    swimmers: int
    missing: str = ""
