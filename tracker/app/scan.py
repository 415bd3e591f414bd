"""Scan the roster: read it in parts, judge them, render each row.

What judges and words is imported where somebody is judged: where every line is kept none of it is needed.
"""

from __future__ import annotations

import datetime as dt
import json
from collections.abc import Callable, Collection, Iterator, Mapping, Sequence
from dataclasses import astuple, dataclass
from functools import partial
from pathlib import Path

from tracker.app.check import data_version
from tracker.app.executor import IN_PROCESS, Executor
from tracker.app.learned_priors import learned_priors
from tracker.app.read_club import read_club
from tracker.app.roster_evidence import learn_roster_evidence
from tracker.app.scan_cache import ScanCache, program_fingerprint
from tracker.output.rendered_row import RenderedRow
from tracker.settings import Settings
from tracker.store.database import Store
from tracker.store.reading import Reader
from tracker.technique.attention import RosterLine, need
from tracker.technique.evidence import Roster
from tracker.technique.pipeline import Club, roster

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
    executor: Executor = IN_PROCESS,
) -> Iterator[Part]:
    """Yield the lines of `scan`, part by part in the order of the swimmers' labels.

    Parameters
    ----------
    names, group
        Labels of those to judge; only this group. Neither: every active swimmer.
    detail
        Whether the verdicts carry the points and the curve of a chart.
    executor
        Who does it; the lines are the same.
    """
    with executor.sharing_workers() as shared:
        learned = learned_priors(store, as_of=as_of, settings=settings, executor=shared)
        weighed = learn_roster_evidence(store, as_of=as_of, settings=settings, executor=shared)
        with store.read() as reader:
            wanted = [name for name in reader.labels(group) if names is None or name in names]
            some = [wanted[first : first + PART] for first in range(0, len(wanted), PART)]
            judged = partial(roster, settings=settings, as_of=as_of, learned=learned, detail=detail)
            done = 0
            for lines in shared.for_parts(len(some)).each(judged, _clubs(reader, some, weighed)):
                done += len(lines)
                yield Part(done, len(wanted), tuple(lines))


def _clubs(reader: Reader, some: Sequence[Sequence[str]], weighed: Mapping[str, Roster]) -> Iterator[Club]:
    """Yield the record of each part, read only when its turn comes."""
    for names in some:
        yield read_club(reader, among=names, weighed=weighed)


Progress = Callable[[int, int], None]
"""Told how many swimmers are done, and of how many."""


def render_roster(
    store: Store,
    *,
    as_of: dt.date,
    settings: Settings,
    group: str | None = None,
    executor: Executor = IN_PROCESS,
    progress: Progress | None = None,
) -> Iterator[RenderedRow]:
    """Yield what is told of every active swimmer, of one group if given, as they are judged.

    Parameters
    ----------
    as_of
        Nothing dated later is looked at.
    executor
        Who does it; the lines are the same.
    """
    for lines in _in_parts(
        store, as_of=as_of, settings=settings, group=group, names=None, executor=executor, progress=progress
    ):
        yield from lines


def render_changed_rows(  # noqa: PLR0913 - as `render_roster`
    store: Store,
    *,
    cache: Path,
    as_of: dt.date,
    settings: Settings,
    group: str | None = None,
    executor: Executor = IN_PROCESS,
    progress: Progress | None = None,
) -> Iterator[RenderedRow]:
    """Yield the lines of `render_roster`, working out only those that are not in the cache.

    What is worked out is kept part by part, so a scan that was broken off goes on where it stopped.
    Of a record that cannot be written nothing is kept.

    Parameters
    ----------
    cache
        The user's cache folder.
    """
    if store.read_only_reason is not None:  # its disk is the cache's too, as often as not
        yield from render_roster(
            store, as_of=as_of, settings=settings, group=group, executor=executor, progress=progress
        )
        return
    cache_file = ScanCache(cache, store.place, program_fingerprint())
    with store.read_facts() as facts:
        version, birth, wanted = facts.data_version(), facts.fact("birth"), facts.labels(group)
    state = json.dumps([birth, version, as_of.isoformat(), astuple(settings)])
    with executor.sharing_workers() as shared:
        fingerprints = cache_file.load_fingerprints(state)
        if fingerprints is None:
            from tracker.app.scan_cache import roster_fingerprints

            fingerprints = roster_fingerprints(store, as_of=as_of, settings=settings, executor=shared)
            if data_version(store) == version:
                cache_file.save_fingerprints(state, fingerprints)
        missing = set(wanted)
        for line in cache_file.load(fingerprints, wanted):
            missing.discard(line.swimmer)
            yield line
        if not missing:
            return
        for lines in _in_parts(
            store,
            as_of=as_of,
            settings=settings,
            group=None,
            names=missing,
            executor=shared,
            progress=progress,
        ):
            if data_version(store) == version:  # else they may rest on more than their print says
                cache_file.add(lines, fingerprints)
            yield from lines
    cache_file.close(fingerprints)


def _in_parts(  # noqa: PLR0913 - as `render_roster`
    store: Store,
    *,
    as_of: dt.date,
    settings: Settings,
    group: str | None,
    names: Collection[str] | None,
    executor: Executor,
    progress: Progress | None,
) -> Iterator[list[RenderedRow]]:
    """Yield the lines of a part as soon as it is judged."""
    from tracker.output.rendered_row import render_row

    for part in scan_in_parts(
        store, as_of=as_of, settings=settings, names=names, group=group, executor=executor
    ):
        yield [render_row(line, as_of) for line in part.lines]
        if progress is not None:
            progress(part.done, part.of)


def scan(  # noqa: PLR0913 - whom, how closely, and who does it
    store: Store,
    *,
    as_of: dt.date,
    settings: Settings,
    group: str | None = None,
    detail: bool = False,
    executor: Executor = IN_PROCESS,
    progress: Progress | None = None,
) -> list[RosterLine]:
    """Return a line for every active swimmer, of one group if given.

    Parameters
    ----------
    as_of
        Nothing dated later is looked at.
    detail
        Whether the verdicts carry the points and the curve of a chart.
    executor
        Who does it; the lines are the same.
    """
    lines: list[RosterLine] = []
    for part in scan_in_parts(
        store, as_of=as_of, settings=settings, group=group, detail=detail, executor=executor
    ):
        lines += part.lines
        if progress is not None:
            progress(part.done, part.of)
    return sorted(lines, key=need)
