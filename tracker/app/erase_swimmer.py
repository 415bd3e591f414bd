"""Erase one person: rows, history, drafts, cached rows, logs; report what is out of reach."""

from __future__ import annotations

import datetime as dt
import glob
import re
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

from tracker.app.leftover_files import Trace, find_traces, remove_traces
from tracker.app.session import Session
from tracker.errors import OptionError, SlackwaterError, UnknownNameError
from tracker.output.pages.file_names import slug
from tracker.store.copies import is_being_written, remove_copy, unfinished
from tracker.store.database import Store
from tracker.store.erasing import PersonRecords, erase, find_person_data, holds, overwrite_free
from tracker.store.persons import Mention, Person
from tracker.store.reading import CopyMade

_PAGE = re.compile(r"(?P<number>\d+)-(?:(?P<slug>.+)-)?\d{4}-\d{2}")


@dataclass(frozen=True)
class Folders:
    """The user's own folders that may name somebody, and where pages go by default."""

    own: tuple[Path, ...]
    pages: Path


@dataclass(frozen=True)
class Copy:
    """A backup or export that may still hold the person; `holds` is None where that is unknown."""

    made: CopyMade
    holds: bool | None


@dataclass(frozen=True)
class ErasureReport:
    """What went, or would go, and what is left for a person to do.

    Attributes
    ----------
    rows
        Table -> rows that named them.
    files
        Drafts, cached rows and logs that named them, and copies that were begun and never finished.
    pages
        Their pages, and summaries that may name them: still there.
    copies
        Backups and exports, and those that are being made: still there.
    mentions
        Other people's rows that write their name, as a reviewer or in a note: still there.
    wiped
        Whether the database file holds nothing of them any more; None in a dry run and for a server,
        whose own log, free pages and backups are out of reach.
    """

    swimmer: str
    rows: Mapping[str, int]
    files: tuple[Path, ...]
    pages: tuple[Path, ...]
    copies: tuple[Copy, ...]
    mentions: tuple[Mention, ...]
    wiped: bool | None


@dataclass(frozen=True)
class _Scope:
    """All that an erasure touches or must name."""

    found: PersonRecords
    others: tuple[str, ...]
    traces: tuple[Trace, ...]
    pages: tuple[Path, ...]
    copies: tuple[Copy, ...]
    unfinished: tuple[Path, ...]

    def result(self, wiped: bool | None) -> ErasureReport:  # noqa: FBT001 - a finding, not a switch
        files = (*(trace.path for trace in self.traces), *self.unfinished)
        found = self.found
        return ErasureReport(
            found.person.label, found.rows, files, self.pages, self.copies, found.mentions, wiped
        )


def preview_erasure(session: Session, name: str, *, folders: Folders) -> ErasureReport:
    """Return what `erase_swimmer` would take and leave, changing nothing; raises as it does."""
    return _scope(session.store, name, folders).result(None)


def erase_swimmer(session: Session, name: str, *, folders: Folders) -> ErasureReport:
    """Erase everything on record about one person; it can't be undone.

    Somebody whose entry was undone, so that only the history still names them, is erased from there.

    Raises
    ------
    UnknownNameError
        If nobody is called so.
    SlackwaterError
        If a draft, log or unfinished copy cannot be removed; the record itself is gone then.
    """
    scope = _scope(session.store, name, folders)
    person = scope.found.person
    erase(session.store, person.label, session.today, who=session.who, at=session.now)
    try:
        remove_traces(scope.traces, person, scope.others)
        _remove(scope.unfinished)
    finally:
        wiped = overwrite_free(session.store)
    return scope.result(wiped)


def wipe_again(session: Session) -> bool:
    """Overwrite what an earlier erasure left while another process held the database open.

    Raises
    ------
    UsageError
        If the database is on a server.
    """
    wiped = overwrite_free(session.store)
    if wiped is None:
        raise OptionError("wipe", "is for a file; a server's log and free pages are for who keeps it")
    return wiped


def _scope(store: Store, name: str, folders: Folders) -> _Scope:
    found = find_person_data(store, _label(store, name))
    with store.read() as reader:
        others = tuple(label for label in reader.labels(archived=True) if label != found.person.label)
    return _Scope(
        found,
        others,
        tuple(find_traces(folders.own, found.person, others)),
        tuple(_pages(folders.pages, found.person)),
        *_copies(store, found.person),
    )


def _label(store: Store, name: str) -> str:
    with store.read() as reader:
        try:
            return reader.swimmer(name, whole=True).record.swimmer
        except UnknownNameError:
            if any(name in line.swimmers for line in reader.history()):
                return name
            raise


def _pages(folder: Path, person: Person) -> list[Path]:
    """Return pages of the person, known by the number of their row, and summaries of the roster."""
    slugs = {slug(label) for label in person.labels} | {None}
    found = []
    for path in sorted(folder.glob("*/*")):
        match = _PAGE.fullmatch(path.stem)
        theirs = match and int(match["number"]) == person.number and match["slug"] in slugs
        if theirs or path.stem.startswith("roster-"):
            found.append(path)
    return found


def _copies(store: Store, person: Person) -> tuple[tuple[Copy, ...], tuple[Path, ...]]:
    """Return the copies that stay, and those that were begun and that nobody makes any more.

    There stay those that are where they were made, those made beside the database, and any that
    another process is making now.
    """
    with store.read() as reader:
        known = {one.place: one for one in reversed(reader.copies_made())}
    made = {place: one for place, one in known.items() if Path(place).exists()}
    left: list[Path] = []
    if store.file is not None:
        for path in sorted(store.file.parent.glob(f"{glob.escape(store.file.stem)}-before-*.db")):
            made.setdefault(str(path.absolute()), _backup_at(path))
        for path in unfinished(store.file, known):
            if is_being_written(path):
                made[str(path)] = _backup_at(path)
            else:
                left.append(path)
    copies = [Copy(one, holds(Path(one.place), person)) for one in made.values()]
    return tuple(copy for copy in copies if copy.holds is not False), tuple(left)


def _backup_at(path: Path) -> CopyMade:
    at = dt.datetime.fromtimestamp(path.stat().st_mtime, dt.UTC)
    return CopyMade(str(path.absolute()), "backup", at)


def _remove(paths: tuple[Path, ...]) -> None:
    for path in paths:
        remove_copy(path)
        if path.exists():
            raise SlackwaterError(f"cannot remove {path}; remove it yourself")
