"""Verdicts, links and roster lines as values, each a complete case with everything overridable."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace
from typing import Any

from tracker.engine.verdict.verdict import FlatStretch, MonthAgo, SetAside, SetAsideTests, Sure, Verdict, Word
from tracker.model.event_kinds import EventKind
from tracker.technique.link import Candidate, Confounder, Link

AS_OF = dt.date(2026, 6, 30)

PLATEAU = Verdict(
    swimmer="Ines Aalto",
    tests=54,
    first=dt.date(2025, 5, 2),
    last=dt.date(2026, 6, 28),
    as_of=AS_OF,
    stale=False,
    band=0.25,
    verdict=Word.PLATEAU,
    p_gaining=0.03,
    p_flat=0.93,
    p_slipping=0.04,
    p_slowed=0.5,
    since=dt.date(2026, 2, 11),
    since_low=dt.date(2026, 1, 20),
    since_high=dt.date(2026, 3, 4),
    before_record=False,
    rate=0.02,
    rate_low=-0.11,
    rate_high=0.14,
    noise_pct=1.15,
    held_since=dt.date(2026, 5, 3),
    leaning=None,
    month_ago=MonthAgo(dt.date(2026, 5, 29), Word.PLATEAU, 0.03, 0.92, 0.05),
    tests_to_tell=None,
    known_by=None,
    present_pace=101.4,
    reference="400 m SCM",
    flat_stretches=(
        FlatStretch(
            dt.date(2026, 2, 11),
            dt.date(2026, 6, 28),
            dt.date(2026, 1, 20),
            dt.date(2026, 3, 4),
            dt.date(2026, 6, 28),
            dt.date(2026, 6, 28),
            current=True,
        ),
    ),
    set_aside=(SetAside(dt.date(2025, 11, 3), 9.2, 120.0),),
    reasons=(
        Sure(Word.PLATEAU, 0.93, 0.75, 0.5),
        SetAsideTests(1, 9.2),
    ),
)

LINK = Link(
    how="before",
    evidence="coincides in time",
    fault="breath-late",
    side="left",
    state="open",
    opened=dt.date(2026, 1, 30),
    days_open=151,
    also=(Candidate("exit-early", "left", "in work", dt.date(2025, 12, 2), 2),),
    confounders=(Confounder(EventKind.LAYOFF, dt.date(2026, 2, 3), dt.date(2026, 2, 12)),),
)

NAMES = {"breath-late": "late breath", "exit-early": "hand leaves early"}


def verdict_like(**changes: Any) -> Verdict:
    """Return an example of a plateau with `changes`."""
    if "verdict" in changes:
        changes["verdict"] = Word(changes["verdict"])
    return replace(PLATEAU, **changes)


def link_like(**changes: Any) -> Link:
    """Return the link of that example with `changes`."""
    return replace(LINK, **changes)
