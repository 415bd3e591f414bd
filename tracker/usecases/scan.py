"""The roster with a verdict, a link and what is due for everyone, most in need of a look first."""

from __future__ import annotations

import datetime as dt

from tracker.pipeline import RosterLine, roster
from tracker.settings import Settings
from tracker.store.database import Store
from tracker.usecases.read_club import read_club
from tracker.usecases.roster_teaching import roster_teaching
from tracker.usecases.weigh_roster import weigh_roster


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
    taught = roster_teaching(store, as_of=as_of, settings=settings)
    weighed = weigh_roster(store, as_of=as_of, settings=settings)
    with store.read() as reader:
        club = read_club(reader, group=group, weighed=weighed)
    return roster(club, settings, as_of=as_of, taught=taught, detail=detail)
