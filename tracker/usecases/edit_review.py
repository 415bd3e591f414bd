"""Correct one item of a review, or what all items of that look share; delete the whole look."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping
from dataclasses import dataclass

from tracker.entry.dates import checked_past
from tracker.entry.forms import changed_record, changes_between
from tracker.errors import EntryError, Problem, UsageError
from tracker.records.catalogue import measure
from tracker.records.fault import FaultStep
from tracker.records.kept import Kept
from tracker.records.review import ReviewItem
from tracker.store.database import Store
from tracker.store.reading import Reader

SHARED = ("date", "reviewer", "clip")
"""Fields that the items of one look have in common."""


@dataclass(frozen=True)
class Look:
    """One reviewer's look at a swimmer on one day: its items and the steps of faults seen in it."""

    items: tuple[ReviewItem, ...]
    steps: tuple[FaultStep, ...]


def edit_item(
    store: Store, old: Kept[ReviewItem], form: Mapping[str, str], *, as_of: dt.date, who: str, at: dt.datetime
) -> ReviewItem:
    """Put the fields of a form into one item; a typed value stands without the points of the old one.

    Raises
    ------
    EntryError
        With every problem of the form.
    StaleError
        If somebody changed it meanwhile.
    """
    new = changed_record(old.record, form)
    if "value" in form:
        new = new.model_copy(update={"points": ""})
    with store.write(who=who, what=f"edit review item {old.id} of {new.swimmer}", at=at) as writer:
        _check(new, writer.swimmer(new.swimmer).record.born, as_of)
        changes = changes_between(old.record, new)
        if changes:
            writer.change(ReviewItem, old.id, old.version, **changes)
    return new


def edit_look(
    store: Store, old: Kept[ReviewItem], form: Mapping[str, str], *, as_of: dt.date, who: str, at: dt.datetime
) -> Look:
    """Put `SHARED` fields into every item of the look that an item belongs to.

    The steps of faults that the reviewer saw in that look move with it.

    Raises
    ------
    EntryError
        With every problem of the form.
    UsageError
        If a field is one item's own.
    """
    alone = [name for name in form if name not in SHARED]
    if alone:
        raise UsageError(f"--{alone[0]} is one item's own; leave --whole out")
    new = changed_record(old.record, form)
    fields = {name: getattr(new, name) for name in form}
    moved = {name: value for name, value in fields.items() if name != "clip"}
    with store.write(who=who, what=f"edit a review of {new.swimmer}", at=at) as writer:
        _check(new, writer.swimmer(new.swimmer).record.born, as_of)
        items, steps = _look(writer, old.record)
        for item in items:
            writer.change(ReviewItem, item.id, item.version, **fields)
        for step in steps if moved else ():
            writer.change(FaultStep, step.id, step.version, **moved)
    return Look(
        tuple(item.record.model_copy(update=fields) for item in items),
        tuple(step.record.model_copy(update=moved) for step in steps),
    )


def delete_look(store: Store, old: Kept[ReviewItem], *, who: str, at: dt.datetime) -> Look:
    """Delete every item of the look that an item belongs to, and the steps of faults seen in it."""
    with store.write(who=who, what=f"delete a review of {old.record.swimmer}", at=at) as writer:
        items, steps = _look(writer, old.record)
        for item in items:
            writer.remove(ReviewItem, item.id, item.version)
        for step in steps:
            writer.remove(FaultStep, step.id, step.version)
    return Look(tuple(item.record for item in items), tuple(step.record for step in steps))


def _look(reader: Reader, item: ReviewItem) -> tuple[list[Kept[ReviewItem]], list[Kept[FaultStep]]]:
    """Return the items of one look, and the steps of faults that its reviewer saw in it."""
    shared = {"swimmer": item.swimmer, "date": item.date, "reviewer": item.reviewer}
    return reader.all(ReviewItem, **shared), reader.all(FaultStep, **shared)


def _check(item: ReviewItem, born: int | None, as_of: dt.date) -> None:
    problems = []
    try:
        checked_past(item.date, as_of, born)
    except ValueError as wrong:
        problems.append(Problem("date", item.date.isoformat(), str(wrong)))
    if item.kind == "look" and item.value is not None:
        problems.append(Problem("value", str(item.value), "a bare look has no value"))
    if item.kind != "look" and item.value is None:
        problems.append(Problem("value", "", "is missing"))
    if item.kind == "score" and item.value is not None and item.value not in {1, 2, 3, 4, 5}:
        problems.append(Problem("value", str(item.value), "a score is a whole number from 1 to 5"))
    if item.side and (item.kind != "measure" or not measure(item.item).sided):
        problems.append(Problem("side", item.side, f"{item.item or 'a look'} has no side"))
    if problems:
        raise EntryError(tuple(problems))
