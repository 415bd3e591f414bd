"""Swims on record: list, correct, delete, doubt."""

from __future__ import annotations

import datetime as dt
from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from operator import itemgetter
from typing import Any, Literal

from tracker.app.explain import why
from tracker.app.log_swims import ImplausibleError
from tracker.app.session import Session
from tracker.app.swim_tests import find_test
from tracker.engine.verdict.counted_swims import SwimStatus, swim_statuses
from tracker.entry.dates import checked_past
from tracker.entry.forms import changed_record, changes_between
from tracker.entry.swim_edit import edited_swim
from tracker.errors import EntryError, Problem, UnknownNameError, UsageError
from tracker.model.base import StoredRow
from tracker.model.doubts import Doubt
from tracker.model.plausibility import doubts
from tracker.model.swim import Swim
from tracker.model.swim_test import SwimTest
from tracker.model.vocabularies import Decision
from tracker.remedies import FillIn
from tracker.settings import Settings
from tracker.store.reading import Reader


@dataclass(frozen=True)
class ListedSwim:
    """A stored swim, and how it stands."""

    row: StoredRow[Swim]
    status: SwimStatus


def list_swims(session: Session, name: str) -> list[ListedSwim]:
    """Return the swims of a swimmer up to a day, oldest first, as the verdict of that day takes them.

    Raises
    ------
    UnknownNameError
        If nobody is called so.
    """
    view = why(session, name)
    found = swim_statuses((row.record for row in view.swims), view.line.verdict, session.settings)
    return [ListedSwim(row, status) for row, status in zip(view.swims, found, strict=True)]


FoundSwim = StoredRow[Swim]
"""A swim as it was seen, with its number and version."""


def find_swim(session: Session, number: int) -> FoundSwim:
    """Return a swim by its number; raises `UnknownNameError`."""
    with session.store.read() as reader:
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


def edit_swim(session: Session, typed: TypedEdit) -> tuple[Swim, tuple[Doubt, ...]]:
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
    with session.store.read() as reader:
        definition = _definition(reader, old.record, typed.form)
    new = edited_swim(old.record, typed.form, definition, limits=session.settings)
    with session.write(f"edit swim {old.id} of {new.swimmer}") as writer:
        _check_day(new, writer, session.today)
        others = [row.record for row in writer.all(Swim, swimmer=new.swimmer) if row.id != old.id]
        found = doubts(new, others, session.settings)
        implausible = [doubt for doubt in found if doubt.implausible]
        if implausible and not typed.accepted and new.decision in {Decision.UNDECIDED, old.record.decision}:
            raise ImplausibleError(implausible)
        if typed.accepted and implausible:
            new = new.model_copy(update={"decision": Decision.ACCEPTED})
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


def decide_swim(
    session: Session, old: FoundSwim, decision: Literal[Decision.KEPT, Decision.ASIDE], reason: str
) -> Swim:
    """Say that a swim counts or does not, which needs a reason.

    Raises
    ------
    UsageError
        If a swim is set aside without a reason.
    """
    if decision == Decision.ASIDE and not reason.strip():
        raise UsageError("a swim is set aside with a reason", FillIn(("reason",)))
    said = f"{decision}: {reason.strip()}" if reason.strip() else ""
    note = "\n".join(part for part in (old.record.note, said) if part)
    new = changed_record(old.record, {"decision": decision, "note": note})
    with session.write(f"{decision} swim {old.id} of {new.swimmer}") as writer:
        writer.change(Swim, old.id, old.version, decision=new.decision, note=new.note)
    return new


_NAMES = tuple(Swim.model_fields)
_DISTANCE, _TIME, _DECISION = (_NAMES.index(name) for name in ("distance_m", "time_s", "decision"))

_KIND = tuple(_NAMES.index(name) for name in ("distance_m", "test", "course", "suit", "kit", "set_id"))


@dataclass(frozen=True)
class DoubtfulSwim:
    """A swim that stays out of the trend until a person decides, and where it stands in its file."""

    file: str
    row: int
    swim: Swim
    doubts: tuple[Doubt, ...]


def doubtful_swims(
    rows: Sequence[tuple[Any, ...]],
    numbers: Sequence[int],
    companions: Iterable[tuple[Any, ...]],
    settings: Settings,
    file: str,
) -> list[DoubtfulSwim]:
    """Return the doubtful among new swims.

    Parameters
    ----------
    rows
        Values in the order of Swim's fields; date and swimmer come first.
    numbers
        Where each row stands in its file.
    companions
        Stored swims of the same days.
    """
    by_day: dict[tuple[Any, ...], list[tuple[Any, ...]]] = defaultdict(list)
    for row in (*rows, *companions):
        if not row[_DECISION]:
            by_day[row[:2]].append(row)
    telling: dict[tuple[Any, ...], list[Swim]] = {}
    fastest, slowest = settings.fastest_pace_s, settings.slowest_pace_s
    found = []
    for row, number in zip(rows, numbers, strict=True):
        if row[_DECISION]:
            continue
        day = row[:2]
        pace = 100.0 * row[_TIME] / row[_DISTANCE]
        if len(by_day[day]) == 1 and fastest <= pace <= slowest:
            continue
        if day not in telling:
            telling[day] = _telling(by_day[day])
        swim = _swim(row)
        grave = tuple(doubt for doubt in doubts(swim, telling[day], settings) if doubt.implausible)
        if grave:
            found.append(DoubtfulSwim(file, number, swim, grave))
    return found


def _telling(rows: Iterable[tuple[Any, ...]]) -> list[Swim]:
    """Return the swims of a day that can cast a doubt: the fastest and the slowest of each kind.

    Every rule compares times, so if any swim of a kind casts a grave doubt, one of these does; and
    a day of a thousand swims takes no longer than a day of two.
    """
    extremes: dict[tuple[Any, ...], tuple[Any, Any]] = {}
    for row in rows:
        kind = tuple(row[column] for column in _KIND)
        low, high = extremes.get(kind, (row, row))
        extremes[kind] = min(low, row, key=itemgetter(_TIME)), max(high, row, key=itemgetter(_TIME))
    return [_swim(row) for pair in extremes.values() for row in dict.fromkeys(pair)]


def _swim(row: tuple[Any, ...]) -> Swim:
    values = dict(zip(_NAMES, row, strict=True))
    return Swim.model_construct(**{**values, "decision": Decision(values["decision"])})
