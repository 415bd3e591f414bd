"""Correct a logged swim, delete it, or say whether a doubtful one counts."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal

from tracker.entry.dates import checked_past
from tracker.entry.forms import changed_record, changes_between
from tracker.entry.swim_edit import edited_swim
from tracker.errors import EntryError, Problem, UnknownNameError, UsageError
from tracker.records.kept import Kept
from tracker.records.plausibility import Doubt, doubts
from tracker.records.swim import Swim
from tracker.records.swim_test import SwimTest
from tracker.settings import Settings
from tracker.store.database import Store
from tracker.store.reading import Reader
from tracker.usecases.list_tests import find_test
from tracker.usecases.log_test import ImplausibleError

FoundSwim = Kept[Swim]
"""A swim as it was seen, with its number and version."""


def find_swim(store: Store, number: int) -> FoundSwim:
    """Return a swim by its number; raises `UnknownNameError`."""
    with store.read() as reader:
        return reader.one(Swim, number)


@dataclass(frozen=True)
class TypedEdit:
    """A correction as somebody typed it.

    Attributes
    ----------
    old
        The swim as it was seen.
    form
        The fields to change, as typed; an empty one goes back to nothing.
    accepted
        Whether a person has said that it is right although it looks implausible.
    """

    old: FoundSwim
    form: Mapping[str, str]
    accepted: bool = False


def edit_swim(
    store: Store, typed: TypedEdit, *, as_of: dt.date, settings: Settings, who: str, at: dt.datetime
) -> tuple[Swim, tuple[Doubt, ...]]:
    """Correct a swim; return it and what is doubtful about it now.

    Raises
    ------
    EntryError
        With every problem of the form; also if the test asks for another distance or time.
    UnknownNameError
        If it is to belong to a test that there is not.
    ImplausibleError
        If the change makes it implausible and nobody has accepted it.
    StaleError
        If somebody changed it meanwhile.
    """
    old = typed.old
    with store.read() as reader:
        definition = _definition(reader, old.record, typed.form)
    new = edited_swim(old.record, typed.form, definition, limits=settings)
    with store.write(who=who, what=f"edit swim {old.id} of {new.swimmer}", at=at) as writer:
        _check_day(new, writer, as_of)
        others = [kept.record for kept in writer.all(Swim, swimmer=new.swimmer) if kept.id != old.id]
        found = doubts(new, others, settings)
        implausible = [doubt for doubt in found if doubt.implausible]
        if implausible and not typed.accepted and new.decision in {"", old.record.decision}:
            raise ImplausibleError(implausible)
        if typed.accepted and implausible:
            new = new.model_copy(update={"decision": "accepted"})
        changes = changes_between(old.record, new)
        if changes:
            writer.change(Swim, old.id, old.version, **changes)
    return new, found


def _definition(reader: Reader, old: Swim, form: Mapping[str, str]) -> SwimTest | None:
    """Return the test it is then a swim of; None for none, or for one on record that nobody defined."""
    name = form.get("test", old.test).strip()
    if not name:
        return None
    try:
        return find_test(reader, name)
    except UnknownNameError:
        if name == old.test:
            return None
        raise


def _check_day(swim: Swim, reader: Reader, as_of: dt.date) -> None:
    try:
        checked_past(swim.date, as_of, reader.swimmer(swim.swimmer).record.born)
    except ValueError as wrong:
        raise EntryError((Problem("date", swim.date.isoformat(), str(wrong)),)) from None


def delete_swim(store: Store, old: FoundSwim, *, who: str, at: dt.datetime) -> None:
    """Delete a swim as it was seen; raises `StaleError` if somebody changed it meanwhile."""
    with store.write(who=who, what=f"delete swim {old.id} of {old.record.swimmer}", at=at) as writer:
        writer.remove(Swim, old.id, old.version)


def decide_swim(
    store: Store,
    old: FoundSwim,
    decision: Literal["kept", "aside"],
    reason: str,
    *,
    who: str,
    at: dt.datetime,
) -> Swim:
    """Say that a swim counts ("kept") or does not ("aside", which needs a reason).

    Raises
    ------
    UsageError
        If a swim is set aside without a reason.
    """
    if decision == "aside" and not reason.strip():
        raise UsageError("a swim is set aside with a reason; give --reason")
    said = f"{'aside' if decision == 'aside' else 'kept'}: {reason.strip()}" if reason.strip() else ""
    note = "\n".join(part for part in (old.record.note, said) if part)
    new = changed_record(old.record, {"decision": decision, "note": note})
    with store.write(who=who, what=f"{decision} swim {old.id} of {new.swimmer}", at=at) as writer:
        writer.change(Swim, old.id, old.version, decision=new.decision, note=new.note)
    return new
