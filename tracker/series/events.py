"""The days on which a swimmer's level may have jumped."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable

from tracker.records.event import Event
from tracker.records.event_kinds import JUMP_KINDS
from tracker.series.rows import day_number


def jump_days(events: Iterable[Event], until: dt.date) -> dict[str, list[int]]:
    """Return the day numbers, by swimmer, on which a lay-off or the like was over.

    Parameters
    ----------
    until
        Events that began later are not looked at.
    """
    days: dict[str, list[int]] = {}
    for event in events:
        if event.kind in JUMP_KINDS and event.from_date <= until:
            days.setdefault(event.swimmer, []).append(day_number(event.to_date or event.from_date))
    return days
