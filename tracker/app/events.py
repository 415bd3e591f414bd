"""Events and weekly load: log and correct."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping

from tracker.app.consents import check_may_record
from tracker.app.entries import find_entry, list_entries
from tracker.app.session import Session
from tracker.entry.dates import checked_past, parse_date
from tracker.entry.forms import changed_record, changes_between, read_record
from tracker.errors import EntryError, Problem, UsageError
from tracker.model.base import StoredRow
from tracker.model.event import Event, Load
from tracker.model.swimmer import Swimmer
from tracker.model.text import clean_line
from tracker.remedies import Mend
from tracker.settings import Settings
from tracker.technique.privacy import ShownEvent, about_health, check_may_hold, on_record


def log_event(session: Session, form: Mapping[str, str]) -> ShownEvent:
    """Log an event; `form` holds fields of `Event` as typed ("from" empty for today).

    An event may lie ahead: a race or a camp that is planned.

    Raises
    ------
    UnknownNameError
        If nobody is called so.
    EntryError
        With every problem of the form.
    UsageError
        If it is about health and that is not switched on, or ends before it begins.
    """
    with session.store.read() as reader:
        swimmer = reader.swimmer(form.get("swimmer", "")).record
        check_may_record(reader, swimmer.swimmer, session.today)
    day = form.get("from", "").strip() or session.today.isoformat()
    event = read_record(Event, {**form, "from": day, "swimmer": swimmer.swimmer})
    check_event(event, None, swimmer, session.settings)
    with session.write(f"log {event.kind} for {swimmer.swimmer}") as writer:
        writer.add([event])
    return on_record(event, session.settings)


def list_events(session: Session, name: str) -> list[StoredRow[ShownEvent]]:
    """Return a swimmer's events, oldest first; raises `UnknownNameError`."""
    held = list_entries(session, Event, name)
    return [StoredRow(one.id, one.version, on_record(one.record, session.settings)) for one in held]


def find_event(session: Session, number: int) -> StoredRow[ShownEvent]:
    """Return an event by its number; raises `UnknownNameError`."""
    held = find_entry(session, Event, number)
    return StoredRow(held.id, held.version, on_record(held.record, session.settings))


def check_event(event: Event, was: Event | None, swimmer: Swimmer, settings: Settings) -> None:
    """Raise `UsageError` if what is new in an event is about health and that is off, or it runs backwards."""
    if about_health(event.kind) and not settings.health:
        raise UsageError(
            f"{event.kind} is about health, which is off; log a 'layoff' without saying why",
            Mend.HEALTH_ON_IF_AGREED,
        )
    check_may_hold(event, was, settings)
    if event.to_date is not None and event.to_date < event.from_date:
        raise UsageError(f"the event ends on {event.to_date}, before it begins on {event.from_date}")
    if swimmer.born is not None and event.from_date.year < swimmer.born:
        raise UsageError(f"{event.from_date} lies before the year of birth, {swimmer.born}")


def log_load(session: Session, form: Mapping[str, str]) -> tuple[Load, bool]:
    """Log a week's volume, any day of the week standing for it; return it, and whether it replaced another.

    Raises
    ------
    UnknownNameError
        If nobody is called so.
    EntryError
        With every problem of the form, or if it says neither sessions nor metres.
    """
    with session.store.read() as reader:
        swimmer = reader.swimmer(form.get("swimmer", "")).record
        check_may_record(reader, swimmer.swimmer, session.today)
    week = _monday(form.get("week", ""), session.today)
    load = read_record(Load, {**form, "week": week.isoformat(), "swimmer": swimmer.swimmer})
    if load.sessions is None and load.metres is None:
        raise EntryError((Problem("metres", "", "is missing, and so are the sessions; give one or both"),))
    with session.write(f"log the week of {week} for {swimmer.swimmer}") as writer:
        old = writer.all(Load, swimmer=swimmer.swimmer, week=week)
        if not old:
            writer.add([load])
            return load, False
        given = {name: form[name] for name in ("sessions", "metres") if form.get(name, "").strip()}
        new = changed_record(old[0].record, given)
        changes = changes_between(old[0].record, new)
        if changes:
            writer.change(Load, old[0].id, old[0].version, **changes)
    return new, True


def _monday(text: str, as_of: dt.date) -> dt.date:
    try:
        day = checked_past(parse_date(text), as_of)
    except ValueError as wrong:
        raise EntryError((Problem("week", clean_line(text), str(wrong)),)) from None
    return day - dt.timedelta(days=day.weekday())


def edit_event(session: Session, number: int, form: Mapping[str, str]) -> ShownEvent:
    """Put the fields of a form into an event: "from", "to", "kind", "note"; an empty one means nothing.

    Raises
    ------
    EntryError
        With every problem of the form.
    UsageError
        If it is or was about health and that is not switched on, or ends before it begins.
    UnknownNameError
        If no event has the number.
    StaleError
        If somebody changed it meanwhile.
    """
    old = find_entry(session, Event, number)
    if about_health(old.record.kind) and not session.settings.health:
        raise UsageError(
            f"event {number} stands as a break, for what it is about is health, which is off; delete it",
            Mend.HEALTH_ON_TO_CHANGE,
        )
    new = changed_record(old.record, form)
    with session.write(f"edit event {old.id} of {new.swimmer}") as writer:
        check_event(new, old.record, writer.swimmer(new.swimmer).record, session.settings)
        changes = changes_between(old.record, new)
        if changes:
            writer.change(Event, old.id, old.version, **changes)
    return on_record(new, session.settings)
