"""Events and weekly load: log and correct."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping

from tracker.app.consents import check_may_record
from tracker.app.entries import find_entry, list_entries
from tracker.entry.dates import checked_past, parse_date
from tracker.entry.forms import changed_record, changes_between, read_record
from tracker.errors import EntryError, Problem, UsageError
from tracker.model.event import Event, Load
from tracker.model.stored_row import StoredRow
from tracker.model.swimmer import Swimmer
from tracker.model.text import clean_line
from tracker.settings import Settings
from tracker.store.database import Store
from tracker.technique.privacy import ShownEvent, about_health, check_may_hold, on_record


def log_event(
    store: Store, form: Mapping[str, str], *, as_of: dt.date, settings: Settings, who: str, at: dt.datetime
) -> ShownEvent:
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
    with store.read() as reader:
        swimmer = reader.swimmer(form.get("swimmer", "")).record
        check_may_record(reader, swimmer.swimmer, as_of)
    day = form.get("from", "").strip() or as_of.isoformat()
    event = read_record(Event, {**form, "from": day, "swimmer": swimmer.swimmer})
    check_event(event, None, swimmer, settings)
    with store.write(who=who, what=f"log {event.kind} for {swimmer.swimmer}", at=at) as writer:
        writer.add([event])
    return on_record(event, settings)


def list_events(store: Store, name: str, *, settings: Settings) -> list[StoredRow[ShownEvent]]:
    """Return a swimmer's events, oldest first; raises `UnknownNameError`."""
    held = list_entries(store, Event, name)
    return [StoredRow(one.id, one.version, on_record(one.record, settings)) for one in held]


def find_event(store: Store, number: int, *, settings: Settings) -> StoredRow[ShownEvent]:
    """Return an event by its number; raises `UnknownNameError`."""
    held = find_entry(store, Event, number)
    return StoredRow(held.id, held.version, on_record(held.record, settings))


def check_event(event: Event, was: Event | None, swimmer: Swimmer, settings: Settings) -> None:
    """Raise `UsageError` if what is new in an event is about health and that is off, or it runs backwards."""
    if about_health(event.kind) and not settings.health:
        raise UsageError(
            f"{event.kind} is about health, which is off; log a 'layoff' without saying why, or switch it on "
            "with 'slackwater config set health true' if the swimmer has agreed"
        )
    check_may_hold(event, was, settings)
    if event.to_date is not None and event.to_date < event.from_date:
        raise UsageError(f"the event ends on {event.to_date}, before it begins on {event.from_date}")
    if swimmer.born is not None and event.from_date.year < swimmer.born:
        raise UsageError(f"{event.from_date} lies before the year of birth, {swimmer.born}")


def log_load(
    store: Store, form: Mapping[str, str], *, as_of: dt.date, who: str, at: dt.datetime
) -> tuple[Load, bool]:
    """Log a week's volume, any day of the week standing for it; return it, and whether it replaced another.

    Raises
    ------
    UnknownNameError
        If nobody is called so.
    EntryError
        With every problem of the form, or if it says neither sessions nor metres.
    """
    with store.read() as reader:
        swimmer = reader.swimmer(form.get("swimmer", "")).record
        check_may_record(reader, swimmer.swimmer, as_of)
    week = _monday(form.get("week", ""), as_of)
    load = read_record(Load, {**form, "week": week.isoformat(), "swimmer": swimmer.swimmer})
    if load.sessions is None and load.metres is None:
        raise EntryError((Problem("metres", "", "is missing, and so are the sessions; give one or both"),))
    with store.write(who=who, what=f"log the week of {week} for {swimmer.swimmer}", at=at) as writer:
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


def edit_event(
    store: Store,
    number: int,
    form: Mapping[str, str],
    *,
    settings: Settings,
    who: str,
    at: dt.datetime,
) -> ShownEvent:
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
    old = find_entry(store, Event, number)
    if about_health(old.record.kind) and not settings.health:
        raise UsageError(
            f"event {number} stands as a break, for what it is about is health, which is off; delete it, or "
            "switch it on with 'slackwater config set health true' to change it"
        )
    new = changed_record(old.record, form)
    with store.write(who=who, what=f"edit event {old.id} of {new.swimmer}", at=at) as writer:
        check_event(new, old.record, writer.swimmer(new.swimmer).record, settings)
        changes = changes_between(old.record, new)
        if changes:
            writer.change(Event, old.id, old.version, **changes)
    return on_record(new, settings)
