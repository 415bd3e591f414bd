"""Reviews: log, correct, compare two looks."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping
from dataclasses import dataclass
from typing import assert_never

from tracker.app.consents import check_may_record
from tracker.app.session import Session
from tracker.entry.dates import checked_past
from tracker.entry.forms import changed_record, changes_between
from tracker.entry.review_form import ReadReview, SeenFault, TypedReview, read_review
from tracker.errors import EntryError, OptionError, Problem, UsageError
from tracker.model.age import may_be_minor
from tracker.model.base import StoredRow
from tracker.model.catalogue import measure
from tracker.model.fault import FaultStep, OwnFault
from tracker.model.review import ReviewItem
from tracker.model.vocabularies import ItemKind, Step
from tracker.remedies import Mend
from tracker.store.reading import Reader
from tracker.technique.club_norms import ClubNorms, club_norms
from tracker.technique.fault_timeline import CLOSED, state_on
from tracker.technique.reviewing import LookChange, OwnError, look_changes, own_errors


@dataclass(frozen=True)
class LoggedReview:
    """What was logged: the items, and the steps that the faults took.

    `minor_clip`: a clip is named of somebody who may be under 18 (only the year of birth is known).
    """

    swimmer: str
    date: dt.date
    reviewer: str
    items: tuple[ReviewItem, ...]
    steps: tuple[FaultStep, ...]
    minor_clip: bool = False


def log_review(session: Session, typed: TypedReview) -> LoggedReview:
    """Log a review. A fault seen is opened, seen again, or back, by what is on record on that day.

    Raises
    ------
    UnknownNameError
        If nobody is called so.
    EntryError
        With every problem of the review.
    UsageError
        If a fault is called corrected that was not there.
    """
    with session.store.read() as reader:
        swimmer = reader.swimmer(typed.name).record
        check_may_record(reader, swimmer.swimmer, session.today)
        own = [row.record for row in reader.all(OwnFault)]
        known = [row.record for row in reader.all(FaultStep, swimmer=swimmer.swimmer)]
    review = read_review(typed, swimmer, own=own, on_record=known, as_of=session.today)
    with session.write(f"log a review of {swimmer.swimmer}") as writer:
        before = [row.record for row in writer.all(FaultStep, swimmer=swimmer.swimmer)]
        looks = [row.record for row in writer.all(ReviewItem, swimmer=swimmer.swimmer)]

        def step(seen: SeenFault, name: Step) -> FaultStep:
            return FaultStep.model_validate(
                {
                    "date": review.date,
                    "swimmer": swimmer.swimmer,
                    "fault": seen.fault,
                    "side": seen.side,
                    "step": name,
                    "severity": seen.severity,
                    "reviewer": review.reviewer,
                }
            )

        mine = _without_others(before, review)
        steps = [step(one, _sighting(mine, one, review.date, looks)) for one in review.seen]
        for one in review.corrected:
            _check_there(before, one, review.date)
            steps.append(step(one, Step.CORRECTED))
        writer.add([*review.items, *steps])
    young = may_be_minor(swimmer.born, review.date)
    clip = any(item.clip for item in review.items)
    return LoggedReview(
        swimmer.swimmer, review.date, review.reviewer, review.items, tuple(steps), young and clip
    )


def _of(steps: list[FaultStep], one: SeenFault) -> list[FaultStep]:
    return [step for step in steps if (step.fault, step.side) == (one.fault, one.side)]


def _without_others(steps: list[FaultStep], review: ReadReview) -> list[FaultStep]:
    """Leave out what others saw on the day of a review: what it saw does not rest on who typed first."""
    return [
        step
        for step in steps
        if step.date != review.date or not step.reviewer or step.reviewer == review.reviewer
    ]


def _sighting(before: list[FaultStep], one: SeenFault, day: dt.date, looks: list[ReviewItem]) -> Step:
    state = state_on(_of(before, one), day, looks)
    if state is None:
        return Step.OPEN
    return Step.BACK if state in CLOSED else Step.SEEN


def _check_there(before: list[FaultStep], one: SeenFault, day: dt.date) -> None:
    if state_on(_of(before, one), day) is None:
        side = f" ({one.side})" if one.side else ""
        sides = sorted({step.side for step in before if step.fault == one.fault and step.side != one.side})
        hint = f"; it is on record for: {', '.join(side or 'no side' for side in sides)}" if sides else ""
        raise UsageError(f"{one.fault}{side} is not on record by {day}, so it cannot be corrected{hint}")


SHARED = ("date", "reviewer", "clip")
"""Fields that the items of one look have in common."""


@dataclass(frozen=True)
class Look:
    """One reviewer's look at a swimmer on one day: its items and the steps of faults seen in it."""

    items: tuple[ReviewItem, ...]
    steps: tuple[FaultStep, ...]


def edit_item(session: Session, old: StoredRow[ReviewItem], form: Mapping[str, str]) -> ReviewItem:
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
    with session.write(f"edit review item {old.id} of {new.swimmer}") as writer:
        _check(new, writer.swimmer(new.swimmer).record.born, session.today)
        changes = changes_between(old.record, new)
        if changes:
            writer.change(ReviewItem, old.id, old.version, **changes)
    return new


def edit_look(session: Session, old: StoredRow[ReviewItem], form: Mapping[str, str]) -> Look:
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
        raise OptionError(alone[0], "is one item's own", Mend.ONE_ITEM_ALONE)
    new = changed_record(old.record, form)
    fields = {name: getattr(new, name) for name in form}
    moved = {name: value for name, value in fields.items() if name != "clip"}
    with session.write(f"edit a review of {new.swimmer}") as writer:
        _check(new, writer.swimmer(new.swimmer).record.born, session.today)
        items, steps = _look(writer, old.record)
        for item in items:
            writer.change(ReviewItem, item.id, item.version, **fields)
        for step in steps if moved else ():
            writer.change(FaultStep, step.id, step.version, **moved)
    return Look(
        tuple(item.record.model_copy(update=fields) for item in items),
        tuple(step.record.model_copy(update=moved) for step in steps),
    )


def delete_look(session: Session, old: StoredRow[ReviewItem]) -> Look:
    """Delete every item of the look that an item belongs to, and the steps of faults seen in it."""
    with session.write(f"delete a review of {old.record.swimmer}") as writer:
        items, steps = _look(writer, old.record)
        for item in items:
            writer.remove(ReviewItem, item.id, item.version)
        for step in steps:
            writer.remove(FaultStep, step.id, step.version)
    return Look(tuple(item.record for item in items), tuple(step.record for step in steps))


def _look(reader: Reader, item: ReviewItem) -> tuple[list[StoredRow[ReviewItem]], list[StoredRow[FaultStep]]]:
    """Return the items of one look, and the steps of faults that its reviewer saw in it."""
    shared = {"swimmer": item.swimmer, "date": item.date, "reviewer": item.reviewer}
    return reader.all(ReviewItem, **shared), reader.all(FaultStep, **shared)


def _check(item: ReviewItem, born: int | None, as_of: dt.date) -> None:
    problems = []
    try:
        checked_past(item.date, as_of, born)
    except ValueError as wrong:
        problems.append(Problem("date", item.date.isoformat(), str(wrong)))
    if wrong_value := _wrong_value(item):
        problems.append(Problem("value", "" if item.value is None else str(item.value), wrong_value))
    if item.side and not _sided(item):
        problems.append(Problem("side", item.side, f"{item.item or 'a look'} has no side"))
    if problems:
        raise EntryError(tuple(problems))


def _wrong_value(item: ReviewItem) -> str:
    match item.kind:
        case ItemKind.LOOK:
            return "" if item.value is None else "a bare look has no value"
        case ItemKind.MEASURE:
            return "is missing" if item.value is None else ""
        case ItemKind.SCORE:
            if item.value is None:
                return "is missing"
            return "" if item.value in {1, 2, 3, 4, 5} else "a score is a whole number from 1 to 5"
        case other:
            assert_never(other)


def _sided(item: ReviewItem) -> bool:
    match item.kind:
        case ItemKind.MEASURE:
            return measure(item.item).sided
        case ItemKind.SCORE | ItemKind.LOOK:
            return False
        case other:
            assert_never(other)


@dataclass(frozen=True)
class Looks:
    """The last change of each item of one swimmer, and what the whole club's readings say beside it.

    `errors`: the typical error of each reviewer and item.
    """

    changes: tuple[LookChange, ...]
    norms: ClubNorms
    errors: Mapping[tuple[str, str], OwnError]


def compare_looks(session: Session, name: str, *, reviewer: str = "") -> Looks:
    """Return the last change of each item, reviewers apart; of one reviewer if named.

    A reviewer's error and the club's own distribution come from the readings of all swimmers.

    Raises
    ------
    UnknownNameError
        If nobody is called so.
    """
    with session.store.read() as reader:
        return looks_in(reader, name, as_of=session.today, reviewer=reviewer)


def norms_of_club(session: Session) -> ClubNorms:
    """Return the club's own distribution of each measure without a published norm."""
    with session.store.read() as reader:
        rows = reader.all(ReviewItem, kind=ItemKind.MEASURE)
        return club_norms((row.record for row in rows), until=session.today)


def looks_in(reader: Reader, name: str, *, as_of: dt.date, reviewer: str = "") -> Looks:
    """Return the same out of one snapshot."""
    label = reader.swimmer(name).record.swimmer
    items = [row.record for row in reader.all(ReviewItem) if row.record.date <= as_of]
    own = [item for item in items if item.swimmer == label and reviewer in {"", item.reviewer}]
    errors = own_errors(items)
    return Looks(look_changes(own, errors, until=as_of), club_norms(items, until=as_of), errors)
