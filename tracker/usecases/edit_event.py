"""Correct a logged event."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping

from tracker.entry.forms import changed_record, changes_between
from tracker.records.event import Event
from tracker.records.kept import Kept
from tracker.settings import Settings
from tracker.store.database import Store
from tracker.usecases.log_event import check_event


def edit_event(
    store: Store,
    old: Kept[Event],
    form: Mapping[str, str],
    *,
    settings: Settings,
    who: str,
    at: dt.datetime,
) -> Event:
    """Put the fields of a form into an event: "from", "to", "kind", "note"; an empty one means nothing.

    Raises
    ------
    EntryError
        With every problem of the form.
    UsageError
        If it is about health and that is not switched on, or ends before it begins.
    StaleError
        If somebody changed it meanwhile.
    """
    new = changed_record(old.record, form)
    with store.write(who=who, what=f"edit event {old.id} of {new.swimmer}", at=at) as writer:
        check_event(new, writer.swimmer(new.swimmer).record, settings)
        changes = changes_between(old.record, new)
        if changes:
            writer.change(Event, old.id, old.version, **changes)
    return new
