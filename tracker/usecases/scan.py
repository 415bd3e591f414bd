"""The roster with a verdict, a link and what is due for everyone, most in need of a look first."""

from __future__ import annotations

import datetime as dt

from tracker.faults.roster_line import RosterLine, need
from tracker.settings import Settings
from tracker.store.database import Store
from tracker.usecases.crew import ALONE, Crew
from tracker.usecases.scan_in_parts import scan_in_parts
from tracker.usecases.tell_roster import Progress


def scan(  # noqa: PLR0913 - whom, how closely, and who does it
    store: Store,
    *,
    as_of: dt.date,
    settings: Settings,
    group: str | None = None,
    detail: bool = False,
    crew: Crew = ALONE,
    progress: Progress | None = None,
) -> list[RosterLine]:
    """Return a line for every active swimmer, of one group if given.

    Parameters
    ----------
    as_of
        Nothing dated later is looked at.
    detail
        Whether the verdicts carry the points and the curve of a chart.
    crew
        Who does it; the lines are the same.
    """
    lines: list[RosterLine] = []
    for part in scan_in_parts(store, as_of=as_of, settings=settings, group=group, detail=detail, crew=crew):
        lines += part.lines
        if progress is not None:
            progress(part.done, part.of)
    return sorted(lines, key=need)
