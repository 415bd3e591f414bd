"""The roster with a verdict, a link and what is due for everyone: as they come, or most in need first.

What judges is imported where somebody is judged: a scan that finds every line kept needs none of it.
"""

from __future__ import annotations

import datetime as dt
import json
from collections.abc import Callable, Iterator
from dataclasses import astuple
from pathlib import Path

from tracker.faults.roster_line import RosterLine, need
from tracker.settings import Settings
from tracker.store.database import Store
from tracker.usecases.crew import ALONE, Crew
from tracker.usecases.data_version import data_version
from tracker.usecases.kept_facts import LEARNING, WEIGHING
from tracker.usecases.kept_lines import KeptLines

Progress = Callable[[int, int], None]
"""Told how many swimmers are done, and of how many."""


def scan(  # noqa: PLR0913 - as `each_line`
    store: Store,
    *,
    as_of: dt.date,
    settings: Settings,
    group: str | None = None,
    detail: bool = False,
    crew: Crew = ALONE,
    progress: Progress | None = None,
) -> list[RosterLine]:
    """Return the lines of `each_line`, most in need of a look first."""
    lines = each_line(
        store, as_of=as_of, settings=settings, group=group, detail=detail, crew=crew, progress=progress
    )
    return sorted(lines, key=need)


def each_line(  # noqa: PLR0913 - whom, how closely, and who does it
    store: Store,
    *,
    as_of: dt.date,
    settings: Settings,
    group: str | None = None,
    detail: bool = False,
    crew: Crew = ALONE,
    progress: Progress | None = None,
) -> Iterator[RosterLine]:
    """Yield a line for every active swimmer, of one group if given, as they are judged.

    Parameters
    ----------
    as_of
        Nothing dated later is looked at.
    detail
        Whether the verdicts carry the points and the curve of a chart.
    crew
        Who does it; the lines are the same.
    """
    from tracker.usecases.scan_in_parts import scan_in_parts

    for part in scan_in_parts(store, as_of=as_of, settings=settings, group=group, detail=detail, crew=crew):
        yield from part.lines
        if progress is not None:
            progress(part.done, part.of)


def each_line_changed(  # noqa: PLR0913 - as `each_line`
    store: Store,
    *,
    cache: Path,
    as_of: dt.date,
    settings: Settings,
    group: str | None = None,
    crew: Crew = ALONE,
    progress: Progress | None = None,
) -> Iterator[RosterLine]:
    """Yield the lines of `each_line`, working out only those that are not in the cache.

    What is worked out is kept part by part, so a scan that was broken off goes on where it stopped.

    Parameters
    ----------
    cache
        The user's cache folder.
    """
    kept = KeptLines(cache, store.place)
    with store.glance() as glance:
        version, birth, wanted = glance.data_version(), glance.fact("birth"), glance.labels(group)
    state = json.dumps([birth, version, as_of.isoformat(), astuple(settings), LEARNING, WEIGHING])
    prints = kept.known_prints(state)
    if prints is None:
        from tracker.usecases.roster_prints import roster_prints

        prints = roster_prints(store, as_of=as_of, settings=settings)
        if data_version(store) == version:
            kept.keep_prints(state, prints)
    missing = set(wanted)
    for line in kept.load(prints, wanted):
        missing.discard(line.swimmer)
        yield line
    if not missing:
        return
    from tracker.usecases.scan_in_parts import scan_in_parts

    for part in scan_in_parts(store, as_of=as_of, settings=settings, names=missing, crew=crew):
        if data_version(store) == version:  # else they may rest on more than their print says
            kept.keep(part.lines, prints)
        yield from part.lines
        if progress is not None:
            progress(part.done, part.of)
    kept.close(prints)
