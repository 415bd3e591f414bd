"""Render the roster row by row, and only those rows that changed since the last scan.

What judges and words is imported where somebody is judged: where every row is cached none of it is needed.
"""

from __future__ import annotations

import json
import os
from collections.abc import Collection, Iterator
from dataclasses import astuple
from hashlib import sha256
from pathlib import Path

import tracker
from tracker.app.executor import IN_PROCESS, Executor, Progress
from tracker.app.session import Session
from tracker.output.rendered_row import RenderedRow
from tracker.store.row_cache import RowCache

_LINE, _STATE = "line", "state"
"""What is cached: each swimmer's row, and for a state of the data the fingerprint of each row."""


def render_roster(
    session: Session,
    *,
    group: str | None = None,
    executor: Executor = IN_PROCESS,
    progress: Progress | None = None,
) -> Iterator[RenderedRow]:
    """Yield the row of every active swimmer, of one group if given, as they are judged.

    Parameters
    ----------
    executor
        Who does it; the lines are the same.
    """
    for lines in _in_parts(session, group=group, names=None, executor=executor, progress=progress):
        yield from lines


def render_changed_rows(
    session: Session,
    *,
    cache: Path,
    group: str | None = None,
    executor: Executor = IN_PROCESS,
    progress: Progress | None = None,
) -> Iterator[RenderedRow]:
    """Yield the lines of `render_roster`, working out only those that are not in the cache.

    Rows are cached part by part, so an interrupted scan goes on where it stopped.
    With a read-only database nothing is cached.

    Parameters
    ----------
    cache
        The user's cache folder.
    """
    if session.store.read_only_reason is not None:  # its disk is the cache's too, as often as not
        yield from render_roster(session, group=group, executor=executor, progress=progress)
        return
    kept = scan_cache(cache, session)
    with session.store.light_reader() as reader:
        version, birth, wanted = reader.data_version(), reader.derived("birth"), reader.labels(group)
    state = json.dumps([birth, version, session.today.isoformat(), astuple(session.settings)])
    with executor.sharing_workers() as shared:
        fingerprints = {name: found for name, at, found in kept.load(_STATE) if at == state}
        if not fingerprints.keys() >= set(wanted):
            from tracker.app.scan import roster_fingerprints

            fingerprints = roster_fingerprints(session, executor=shared)
            if session.data_version() == version:
                kept.prune(_STATE, {})
                kept.add(_STATE, ((name, state, found) for name, found in fingerprints.items()))
        missing = set(wanted)
        for name, _, content in kept.load(_LINE, {name: fingerprints[name] for name in wanted}):
            missing.discard(name)
            yield RenderedRow.unpacked(content)
        if not missing:
            return
        for lines in _in_parts(session, group=None, names=missing, executor=shared, progress=progress):
            if session.data_version() == version:  # else they may rest on more than their fingerprint says
                rows = [line for line in lines if line.swimmer in fingerprints]
                kept.add(_LINE, ((row.swimmer, fingerprints[row.swimmer], row.packed()) for row in rows))
            yield from lines
    kept.prune(_LINE, fingerprints, spare=len(fingerprints))


def _in_parts(
    session: Session,
    *,
    group: str | None,
    names: Collection[str] | None,
    executor: Executor,
    progress: Progress | None,
) -> Iterator[list[RenderedRow]]:
    """Yield the lines of a part as soon as it is judged."""
    from tracker.app.scan import scan_in_parts
    from tracker.output.row_rendering import render_row

    for part in scan_in_parts(session, names=names, group=group, executor=executor):
        yield [render_row(line, session.today) for line in part.lines]
        if progress is not None:
            progress(part.done, part.of)


def scan_cache(folder: Path, session: Session) -> RowCache:
    """Return the cache of a session's database in the user's cache folder."""
    return RowCache(folder, session.store.address, program_fingerprint())


def program_fingerprint() -> str:
    """Return a text that rests on the name, size and time of every file of the program."""
    folder = Path(tracker.__file__).parent
    return sha256("\n".join(sorted(_files(folder))).encode()).hexdigest()[:16]


def _files(folder: Path | str) -> Iterator[str]:
    with os.scandir(folder) as found:
        for one in found:
            if not one.is_dir():
                state = one.stat()
                yield f"{one.path} {state.st_size} {state.st_mtime_ns}"
            elif one.name != "__pycache__":
                yield from _files(one.path)
