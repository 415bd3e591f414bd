"""Cues and drills: start, stop, and what they can provoke."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from tracker.app.consents import check_may_record
from tracker.app.session import Session
from tracker.entry.dates import checked_past, parse_date
from tracker.entry.forms import read_record
from tracker.errors import EntryError, Problem, UnknownNameError, UsageError
from tracker.model.base import StoredRow
from tracker.model.catalogue import Fault, fault, full_catalogue
from tracker.model.fault import FaultStep, OwnFault
from tracker.model.review import ReviewItem
from tracker.model.swimmer import Swimmer
from tracker.model.text import clean_line, name_key
from tracker.model.vocabularies import Step, WorkKind
from tracker.model.work import Work
from tracker.store.reading import Reader
from tracker.technique.cautions import can_feed, provoking
from tracker.technique.fault_timeline import CLOSED, timelines


def start_work(session: Session, name: str, form: Mapping[str, str]) -> tuple[Work, Fault | None]:
    """Start a cue or drill; return it and the fault it answers.

    Parameters
    ----------
    form
        "kind" (cue or drill), "text", and if given "fault", "per_week", "from".

    Raises
    ------
    UnknownNameError
        If the swimmer or the fault is not known.
    EntryError
        With every problem of the form.
    UsageError
        If the same is in use already.
    """
    with session.store.read() as reader:
        swimmer = reader.swimmer(name).record
        check_may_record(reader, swimmer.swimmer, session.today)
        slug = form.get("fault", "").strip()
        answered = fault(slug, [row.record for row in reader.all(OwnFault)]) if slug else None
    day = form.get("from", "").strip() or session.today.isoformat()
    work = read_record(Work, {**form, "from": day, "swimmer": swimmer.swimmer})
    _check_day(work.from_date, swimmer, session.today)
    with session.write(f"start a {work.kind} for {swimmer.swimmer}") as writer:
        if any(name_key(row.record.text) == name_key(work.text) for row in _going_on(writer, work)):
            raise UsageError(f"that {work.kind} is in use already; stop it first")
        writer.add([work])
    return work, answered


def stop_work(session: Session, name: str, form: Mapping[str, str]) -> Work:
    """Stop a cue or drill, named by its text or the beginning of it.

    Parameters
    ----------
    form
        "kind", "text", and if given "to", the last day in use.

    Raises
    ------
    UnknownNameError
        If the swimmer is not known, or no such cue or drill is in use; with those that are.
    EntryError
        If the day is none.
    UsageError
        If it would stop before it began.
    """
    with session.store.read() as reader:
        swimmer = reader.swimmer(name).record
    day = _day(form.get("to", ""), swimmer, session.today)
    kind = WorkKind(form["kind"])
    with session.write(f"stop a {kind} of {swimmer.swimmer}") as writer:
        wanted = Work.model_construct(kind=kind, swimmer=swimmer.swimmer, text=form["text"])
        old = _meant(_going_on(writer, wanted), form["text"], kind)
        if day < old.record.from_date:
            raise UsageError(f"it began on {old.record.from_date}, after {day}")
        writer.change(Work, old.id, old.version, to_date=day)
    return old.record.model_copy(update={"to_date": day})


def _going_on(reader: Reader, like: Work) -> list[StoredRow[Work]]:
    return reader.all(Work, swimmer=like.swimmer, kind=like.kind, to_date=None)


def _meant(going_on: list[StoredRow[Work]], text: str, kind: WorkKind) -> StoredRow[Work]:
    key = name_key(text)
    exact = [row for row in going_on if name_key(row.record.text) == key]
    begins = [row for row in going_on if key and name_key(row.record.text).startswith(key)]
    for found in (exact, begins):
        if len(found) == 1:
            return found[0]
    raise UnknownNameError(f"{kind} in use", text, tuple(row.record.text for row in (begins or going_on))[:3])


def _day(text: str, swimmer: Swimmer, as_of: dt.date) -> dt.date:
    try:
        day = parse_date(text) if text.strip() else as_of
    except ValueError as wrong:
        raise EntryError((Problem("date", clean_line(text), str(wrong)),)) from None
    _check_day(day, swimmer, as_of)
    return day


def _check_day(day: dt.date, swimmer: Swimmer, as_of: dt.date) -> None:
    try:
        checked_past(day, as_of, swimmer.born)
    except ValueError as wrong:
        raise EntryError((Problem("date", day.isoformat(), str(wrong)),)) from None


def uncorrected_fed(session: Session, work: Work) -> tuple[Fault, ...]:
    """Return the uncorrected faults of its swimmer that a cue or drill can bring about or feed."""
    with session.store.read() as reader:
        steps = [row.record for row in reader.all(FaultStep, swimmer=work.swimmer)]
        looks = [row.record for row in reader.all(ReviewItem, swimmer=work.swimmer)]
        entries = {e.slug: e for e in full_catalogue(row.record for row in reader.all(OwnFault))}
    uncorrected = dict.fromkeys(
        timeline.fault
        for timeline in timelines(steps, session.today, looks)
        if timeline.moments[-1].state not in CLOSED
    )
    found = (entries[slug] for slug in uncorrected if slug in entries)
    return tuple(entry for entry in found if can_feed(entry, work.kind, work.text))


@dataclass(frozen=True)
class ProvokedFault:
    """A fault's opening and a cue that was in use on that day and can provoke it."""

    step: FaultStep
    cue: Work


def find_provoking(session: Session, steps: Sequence[FaultStep]) -> tuple[ProvokedFault, ...]:
    """Return the cues for every step that opens a fault or brings it back."""
    opened = [step for step in steps if step.step in {Step.OPEN, Step.BACK}]
    if not opened:
        return ()
    with session.store.read() as reader:
        work = [row.record for row in reader.all(Work, swimmer=opened[0].swimmer)]
        entries = {e.slug: e for e in full_catalogue(row.record for row in reader.all(OwnFault))}
    return tuple(
        ProvokedFault(step, cue)
        for step in opened
        if step.fault in entries
        for cue in provoking(entries[step.fault], work, step.date)
    )
