"""The roster judged part by part: little memory however big it is, and something to show on the way."""

from __future__ import annotations

import datetime as dt
from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import partial

from tracker.faults.evidence import Roster
from tracker.faults.roster_line import RosterLine
from tracker.pipeline import Club, roster
from tracker.settings import Settings
from tracker.store.database import Store
from tracker.store.reading import Reader
from tracker.usecases.crew import ALONE, Crew
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


def scan_in_parts(  # noqa: PLR0913 - whom, how closely, and who does it
    store: Store,
    *,
    as_of: dt.date,
    settings: Settings,
    names: Collection[str] | None = None,
    group: str | None = None,
    detail: bool = False,
    crew: Crew = ALONE,
) -> Iterator[Part]:
    """Yield the lines of `scan`, part by part in the order of the swimmers' labels.

    Parameters
    ----------
    names, group
        Labels of those to judge; only this group. Neither: every active swimmer.
    detail
        Whether the verdicts carry the points and the curve of a chart.
    crew
        Who does it; the lines are the same.
    """
    with crew.together() as together:
        taught = roster_teaching(store, as_of=as_of, settings=settings, crew=together)
        weighed = weigh_roster(store, as_of=as_of, settings=settings, crew=together)
        with store.read() as reader:
            wanted = [name for name in reader.labels(group) if names is None or name in names]
            some = [wanted[first : first + PART] for first in range(0, len(wanted), PART)]
            judged = partial(roster, settings=settings, as_of=as_of, taught=taught, detail=detail)
            done = 0
            for lines in together.for_parts(len(some)).each(judged, _clubs(reader, some, weighed)):
                done += len(lines)
                yield Part(done, len(wanted), tuple(lines))


def _clubs(reader: Reader, some: Sequence[Sequence[str]], weighed: Mapping[str, Roster]) -> Iterator[Club]:
    """Yield the record of each part, read only when its turn comes."""
    for names in some:
        yield read_club(reader, among=names, weighed=weighed)
