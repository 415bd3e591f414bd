"""The dates ahead as JSON."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable
from typing import Any

from tracker.output.sentences.due import date_reason
from tracker.technique.dates_ahead import DateAhead


def dates_json(
    dates: Iterable[DateAhead], left_out: Iterable[tuple[str, str]], as_of: dt.date
) -> dict[str, Any]:
    """Return the dates ahead; `due_since` is the day where it is past, else null."""
    return {
        "schema": 1,
        "as_of": as_of.isoformat(),
        "dates": [
            {
                "date": one.date.isoformat(),
                "ends": one.ends.isoformat(),
                "kind": str(one.kind),
                "swimmer": one.swimmer,
                "group": one.group,
                "due_since": None if (since := one.due_since(as_of)) is None else since.isoformat(),
                "why": date_reason(one, as_of),
            }
            for one in dates
        ],
        "left_out": [{"swimmer": name, "why": why} for name, why in left_out],
    }
