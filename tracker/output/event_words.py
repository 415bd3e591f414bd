"""Events, cues, drills and steps of a fault's life in a few words."""

from __future__ import annotations

import datetime as dt
from typing import Final

from tracker.output.link_words import FaultNames, fault_name
from tracker.output.numbers import count, day, number, span
from tracker.records.event import Event, Load
from tracker.records.event_kinds import HEALTH_KINDS
from tracker.records.fault import FaultStep
from tracker.records.units import plain_number
from tracker.records.work import Work

KINDS: Final = {
    "layoff": "lay-off",
    "illness": "illness",
    "injury": "injury",
    "pool": "other pool",
    "suit": "other suit",
    "race": "race",
    "camp": "camp",
    "other": "event",
}
STEPS: Final = {
    "open": "seen for the first time",
    "seen": "seen again",
    "work": "taken into work",
    "corrected": "corrected",
    "parked": "left on purpose",
    "back": "back",
}


def event_words(event: Event) -> str:
    """Return an event in a few words: its kind, and its note's first line unless it is about health."""
    note = "" if event.kind in HEALTH_KINDS else event.note.split("\n")[0]
    return f"{KINDS[event.kind]}: {note}" if note else KINDS[event.kind]


def load_words(load: Load) -> str:
    """Return "week of 2026-06-22: 3 sessions, 7300 m"."""
    sessions = count(load.sessions, "session") if load.sessions is not None else ""
    metres = f"{plain_number(load.metres)} m" if load.metres is not None else ""
    return f"week of {load.week}: {', '.join(part for part in (sessions, metres) if part)}"


def work_words(work: Work) -> str:
    """Return "cue: face back first" or "drill: side kick, 2 a week"."""
    often = f", {number(work.per_week, 1)} a week" if work.per_week else ""
    return f"{work.kind}: {work.text}{often}"


def work_line(work: Work, names: FaultNames, as_of: dt.date) -> str:
    """Return a cue or a drill with its dates and the fault it answers."""
    against = f", against {fault_name(work.fault, '', names)}" if work.fault else ""
    ends = work.to_date if work.to_date is None or work.to_date <= as_of else None
    return f"{work_words(work)}{against} ({span(work.from_date, ends, as_of)})"


def step_line(step: FaultStep, names: FaultNames, as_of: dt.date) -> str:
    """Return one step of a fault's life with its day and who saw it."""
    what = STEPS[step.step]
    if not step.reviewer:
        what = f"said to be {what}" if step.step in {"corrected", "back"} else f"{what}, no reviewer"
    by = f" ({step.reviewer})" if step.reviewer else ""
    return f"{day(step.date, as_of)}: {fault_name(step.fault, step.side, names)}, {what}{by}"
