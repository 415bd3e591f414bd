"""The dates ahead of the roster, as a list and as a calendar file."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from uuid import UUID, uuid5

from tracker.app.executor import IN_PROCESS, Executor
from tracker.app.scan import scan
from tracker.app.session import Session
from tracker.model.base import StoredRow
from tracker.model.event import Event
from tracker.model.event_kinds import EventKind
from tracker.model.swimmer import Consent, Swimmer
from tracker.output.calendar_file import calendar_bytes, check_installed
from tracker.output.pages.permission import why_not
from tracker.output.whole_files import whole_file
from tracker.technique.dates_ahead import DateAhead, dates_ahead
from tracker.technique.pipeline import by_swimmer

_SPACE = UUID("6f2c9d54-5c0e-4b0e-9a83-0d6f6a0f7c11")
"""Whatever has an identifier here has one that nothing else has."""


@dataclass(frozen=True)
class DatesAhead:
    """The dates in order; and (swimmer, reason) of those whose dates are not shown."""

    dates: tuple[DateAhead, ...]
    left_out: tuple[tuple[str, str], ...]


def list_dates(session: Session, *, group: str | None = None, executor: Executor = IN_PROCESS) -> DatesAhead:
    """Return the dates of every active swimmer, of one group if given; the soonest first.

    Whoever gets no page, for a consent that was withdrawn, ended or is missing where one is needed, has no
    dates here either.
    """
    lines = scan(session, group=group, executor=executor)
    with session.store.read() as reader:
        people = {row.record.swimmer: row.record for row in reader.all(Swimmer, archived=None)}
        consents: dict[str, list[Consent]] = by_swimmer(row.record for row in reader.all(Consent))
        races: dict[str, list[StoredRow[Event]]] = {}
        for row in reader.all(Event, kind=EventKind.RACE):
            races.setdefault(row.record.swimmer, []).append(row)
    found: list[DateAhead] = []
    left_out = []
    for line in lines:
        who = people.get(line.swimmer)
        needed = session.settings.consent_needed
        reason = why_not(who, consents.get(line.swimmer, ()), session.today, needed=needed) if who else "gone"
        if reason:
            left_out.append((line.swimmer, reason))
        else:
            found += dates_ahead(line, races.get(line.swimmer, ()), session.today)
    found.sort(key=lambda one: (one.date, one.kind, one.swimmer, one.number))
    return DatesAhead(tuple(found), tuple(sorted(left_out)))


def write_calendar(
    session: Session,
    path: Path,
    *,
    group: str | None = None,
    force: bool = False,
    executor: Executor = IN_PROCESS,
) -> DatesAhead:
    """Write the dates as a calendar file (RFC 5545), whole or not at all.

    A date keeps its identifier wherever it moves, so a calendar that takes the file again moves it.

    Raises
    ------
    UsageError
        If the file exists and `force` is not given, or the library is not installed.
    SlackwaterError
        If it cannot be written.
    """
    check_installed()
    with whole_file(path, force=force) as stream:
        found = list_dates(session, group=group, executor=executor)
        with session.store.read() as reader:
            persons = reader.person_ids()
        stream.write(
            calendar_bytes(
                [(one, _identifier(one, persons.get(one.swimmer, one.swimmer))) for one in found.dates],
                session.now,
            )
        )
    return found


def _identifier(one: DateAhead, person: str) -> str:
    """Return what stays the same when the date moves or the swimmer gets another label; it names nobody."""
    return str(uuid5(_SPACE, f"{one.kind} {person} {one.number}"))
