"""The roster judged part by part: little memory however big it is, and something to show on the way."""

from __future__ import annotations

import datetime as dt
from collections.abc import Collection, Iterator
from dataclasses import dataclass, replace

from tracker.pipeline import RosterLine, roster
from tracker.records.swim import Swim
from tracker.series.from_swims import COLUMNS
from tracker.settings import Settings
from tracker.store.database import Store
from tracker.usecases.read_club import read_club
from tracker.usecases.roster_teaching import roster_teaching
from tracker.usecases.weigh_roster import weigh_roster

PART = 200
"""Swimmers at a time."""


@dataclass(frozen=True)
class Part:
    """Some lines, and how many swimmers are done of how many."""

    done: int
    of: int
    lines: tuple[RosterLine, ...]


def scan_in_parts(
    store: Store, *, as_of: dt.date, settings: Settings, names: Collection[str] | None = None
) -> Iterator[Part]:
    """Yield the lines of `scan`, in no order to speak of.

    Parameters
    ----------
    names
        Labels of those to judge; None judges every active swimmer.
    """
    taught = roster_teaching(store, as_of=as_of, settings=settings)
    weighed = weigh_roster(store, as_of=as_of, settings=settings)
    with store.read() as reader:
        club = read_club(reader, weighed=weighed, swims=False)
        wanted = [name for name in club.swimmers if names is None or name in names]
        for first in range(0, len(wanted), PART):
            some = wanted[first : first + PART]
            part = replace(
                club,
                swimmers={name: club.swimmers[name] for name in some},
                swims=reader.columns(Swim, COLUMNS, among=some),
            )
            lines = roster(part, settings, as_of=as_of, taught=taught)
            yield Part(first + len(some), len(wanted), tuple(lines))
