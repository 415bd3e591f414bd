"""The roster as it is told, line by line: in little memory however big it is.

What judges and words is imported where somebody is judged: where every line is kept none of it is needed.
"""

from __future__ import annotations

import datetime as dt
import json
from collections.abc import Callable, Collection, Iterator
from dataclasses import astuple
from pathlib import Path

from tracker.output.told_line import ToldLine
from tracker.settings import Settings
from tracker.store.database import Store
from tracker.usecases.crew import ALONE, Crew
from tracker.usecases.data_version import data_version
from tracker.usecases.kept_lines import KeptLines
from tracker.usecases.program_print import program_print

Progress = Callable[[int, int], None]
"""Told how many swimmers are done, and of how many."""


def tell_roster(
    store: Store,
    *,
    as_of: dt.date,
    settings: Settings,
    group: str | None = None,
    crew: Crew = ALONE,
    progress: Progress | None = None,
) -> Iterator[ToldLine]:
    """Yield what is told of every active swimmer, of one group if given, as they are judged.

    Parameters
    ----------
    as_of
        Nothing dated later is looked at.
    crew
        Who does it; the lines are the same.
    """
    for lines in _in_parts(
        store, as_of=as_of, settings=settings, group=group, names=None, crew=crew, progress=progress
    ):
        yield from lines


def tell_what_changed(  # noqa: PLR0913 - as `tell_roster`
    store: Store,
    *,
    cache: Path,
    as_of: dt.date,
    settings: Settings,
    group: str | None = None,
    crew: Crew = ALONE,
    progress: Progress | None = None,
) -> Iterator[ToldLine]:
    """Yield the lines of `tell_roster`, working out only those that are not in the cache.

    What is worked out is kept part by part, so a scan that was broken off goes on where it stopped.
    Of a record that cannot be written nothing is kept.

    Parameters
    ----------
    cache
        The user's cache folder.
    """
    if store.hindrance is not None:  # its disk is the cache's too, as often as not
        yield from tell_roster(
            store, as_of=as_of, settings=settings, group=group, crew=crew, progress=progress
        )
        return
    kept = KeptLines(cache, store.place, program_print())
    with store.glance() as glance:
        version, birth, wanted = glance.data_version(), glance.fact("birth"), glance.labels(group)
    state = json.dumps([birth, version, as_of.isoformat(), astuple(settings)])
    with crew.together() as together:
        prints = kept.known_prints(state)
        if prints is None:
            from tracker.usecases.roster_prints import roster_prints

            prints = roster_prints(store, as_of=as_of, settings=settings, crew=together)
            if data_version(store) == version:
                kept.keep_prints(state, prints)
        missing = set(wanted)
        for line in kept.load(prints, wanted):
            missing.discard(line.swimmer)
            yield line
        if not missing:
            return
        for lines in _in_parts(
            store, as_of=as_of, settings=settings, group=None, names=missing, crew=together, progress=progress
        ):
            if data_version(store) == version:  # else they may rest on more than their print says
                kept.keep(lines, prints)
            yield from lines
    kept.close(prints)


def _in_parts(  # noqa: PLR0913 - as `tell_roster`
    store: Store,
    *,
    as_of: dt.date,
    settings: Settings,
    group: str | None,
    names: Collection[str] | None,
    crew: Crew,
    progress: Progress | None,
) -> Iterator[list[ToldLine]]:
    """Yield the lines of a part as soon as it is judged."""
    from tracker.output.telling import tell
    from tracker.usecases.scan_in_parts import scan_in_parts

    for part in scan_in_parts(store, as_of=as_of, settings=settings, names=names, group=group, crew=crew):
        yield [tell(line, as_of, health=settings.health) for line in part.lines]
        if progress is not None:
            progress(part.done, part.of)
