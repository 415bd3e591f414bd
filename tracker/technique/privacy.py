"""What may be shown of an illness or injury. Decided here alone.

Whatever shows events takes a `ShownEvent`, so an event that did not pass here does not get out. What the
tool reckons with takes an `Event` as it is held: a jump of the line, no maximal test while ill.

===========  =======================  ==========================
shown where  health switched on       health off (the default)
===========  =======================  ==========================
on record    as it is held            kind "other", "a break"
in evidence  its kind, never its note not at all
in copies    kind "other", "a break"  not at all
===========  =======================  ==========================

Which fields that concerns, the record says (`About.health`). A field that is "always" health data is blank
in evidence and in copies whatever the event is, and on record too while health is off.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from functools import cache
from typing import Any, ClassVar, Final

from tracker.errors import UsageError
from tracker.model.about import fields_of, health_fields
from tracker.model.base import Record
from tracker.model.event import Event
from tracker.model.event_kinds import HEALTH_KINDS, EventKind
from tracker.remedies import Mend
from tracker.settings import Settings

BREAK: Final = "a break"
"""What an illness or injury is called where its kind is not named."""
_LABEL = re.compile(rf"\blog (?:{'|'.join(sorted(HEALTH_KINDS))}) for\b")


class ShownEvent(Event):
    """An event as far as it may be shown; only the functions of this module make one.

    `is_break` says whether it stands for an event whose kind is not named.
    """

    is_break: ClassVar[bool] = False


class ShownBreak(ShownEvent):
    """What stands for an illness or injury."""

    is_break: ClassVar[bool] = True


def about_health(kind: str) -> bool:
    """Return whether events of this kind are about health."""
    return kind in HEALTH_KINDS


def check_may_hold(record: Record, was: Record | None, settings: Settings) -> None:
    """Raise `UsageError` if a field that is health data gets another value, while health is off."""
    kind = type(record)
    for name in () if settings.health else health_fields(kind, "always"):
        if getattr(record, name) != (getattr(was, name) if was else _blank(kind, name)):
            raise UsageError(f"{fields_of(kind)[name].label} is about health, which is off", Mend.HEALTH_ON)


def without_health(kind: type[Record], row: Mapping[str, Any]) -> dict[str, Any]:
    """Return a row of a kind of record with what is always health data left blank."""
    blanks = {name: _blank(kind, name) for name in health_fields(kind, "always") if name in row}
    return {**row, **blanks}


def on_record(event: Event, settings: Settings) -> ShownEvent:
    """Return an event for a list of what is on record, or for the swimmer's chart on the screen."""
    if settings.health:
        return _shown(event)
    return _as_break(event) if about_health(event.kind) else _shown(event, **_blanks("always"))


def in_evidence(events: Iterable[Event], settings: Settings) -> list[ShownEvent]:
    """Return the events that stand beneath a verdict and on a page."""
    return [
        _shown(event, **{**_blanks(*_marks_of(event)), "kind": event.kind})
        for event in events
        if settings.health or not about_health(event.kind)
    ]


def in_copies(event: Event, settings: Settings) -> ShownEvent | None:
    """Return an event for a copy of the club and beside a link; None where it is left out."""
    if not about_health(event.kind):
        return _shown(event, **_blanks("always"))
    return _as_break(event) if settings.health else None


def shown_label(label: str, settings: Settings) -> str:
    """Return the words of a change as the history may show them."""
    return label if settings.health else _LABEL.sub(f"log {BREAK} for", label)


def _as_break(event: Event) -> ShownEvent:
    said = {"kind": EventKind.OTHER, "note": BREAK}
    return ShownBreak.model_construct(**{**_fields(event), **_blanks("by kind", "always"), **said})


def _shown(event: Event, **instead: Any) -> ShownEvent:  # noqa: ANN401 - fields of an event
    return ShownEvent.model_construct(**{**_fields(event), **instead})


def _marks_of(event: Event) -> tuple[str, ...]:
    """Return the marks of the fields that are health data in an event of its kind."""
    return ("by kind", "always") if about_health(event.kind) else ("always",)


@cache
def _blanks(*marks: str) -> Mapping[str, Any]:
    """Return what stands in the place of an event's fields with some marks."""
    return {name: _blank(Event, name) for name in health_fields(Event, *marks)}


def _blank(kind: type[Record], name: str) -> Any:  # noqa: ANN401 - a field's value
    field = kind.model_fields[name]
    return None if field.is_required() else field.get_default(call_default_factory=True)


def _fields(event: Event) -> dict[str, Any]:
    return {name: getattr(event, name) for name in Event.model_fields}
