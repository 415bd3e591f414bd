"""The roster with a verdict, a link and what is due for everyone, most in need of a look first."""

from __future__ import annotations

import datetime as dt

from tracker.pipeline import RosterLine, need
from tracker.settings import Settings
from tracker.store.database import Store
from tracker.usecases.scan_in_parts import scan_in_parts


def scan(
    store: Store,
    *,
    as_of: dt.date,
    settings: Settings,
    group: str | None = None,
    detail: bool = False,
) -> list[RosterLine]:
    """Return a line for every active swimmer, of one group if given.

    Parameters
    ----------
    as_of
        Nothing dated later is looked at.
    detail
        Whether the verdicts carry the points and the curve of a chart.
    """
    parts = scan_in_parts(store, as_of=as_of, settings=settings, group=group, detail=detail)
    lines = (line for part in parts for line in part.lines)
    return sorted(lines, key=need)
