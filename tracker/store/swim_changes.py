"""What became of a swimmer's swims since an entry of the history: the swims as they were then and are now."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any

from sqlalchemy import select

from tracker.model.base import Record
from tracker.model.swim import Swim
from tracker.store.history import ENTRIES, ENTRY_SWIMMERS, STEPS, typed, unpacked
from tracker.store.reading import Reader, stored_row
from tracker.store.tables import BLANKS, TABLES

SWIMS = TABLES[Swim]


@dataclass(frozen=True)
class SwimChange:
    """A swim before and after; None where it was not there."""

    before: Swim | None
    after: Swim | None


def entries_of(reader: Reader, kind: type[Record], numbers: Iterable[int]) -> dict[int, int]:
    """Return for rows of a kind, by their numbers, the entry of the history that added each."""
    query = (
        select(STEPS.c.entry, STEPS.c.first, STEPS.c.last)
        .where(STEPS.c.place == TABLES[kind].name, STEPS.c.kind == "add")
        .order_by(STEPS.c.first)
    )
    spans = [tuple(row) for row in reader.connection.execute(query)]
    found: dict[int, int] = {}
    place = 0
    for number in sorted(numbers):
        while place < len(spans) and spans[place][2] < number:
            place += 1
        if place < len(spans) and spans[place][1] <= number:
            found[number] = spans[place][0]
    return found


def swim_changes(reader: Reader, label: str, *, after: int) -> list[SwimChange]:
    """Return the swims of one swimmer that are not as they were after entry `after`, in order of day.

    The steps since are followed backwards from what is there now; what was undone left none.
    """
    now = {
        row["id"]: dict(row)
        for row in reader.connection.execute(select(SWIMS).where(SWIMS.c.swimmer == label)).mappings()
    }
    then: dict[int, dict[str, Any] | None] = {}
    for step in reader.connection.execute(_steps(label, after)).mappings():
        span = range(step["first"], step["last"] + 1)
        if step["kind"] == "add":
            then |= {number: None for number in span if number in now or number in then}
        elif step["content"] is None:
            continue
        elif step["kind"] == "remove":
            rows = (typed(SWIMS, row) for row in unpacked(step["content"]))
            then |= {row["id"]: row for row in rows if row["swimmer"] == label}
        else:
            row = then.get(span[0]) or now.get(span[0])
            if row is not None:
                then[span[0]] = {**row, **typed(SWIMS, unpacked(step["content"])["before"])}
    found = [SwimChange(_swim(then[number]), _swim(now.get(number))) for number in then]
    changed = [one for one in found if one.before != one.after]
    return sorted(changed, key=lambda one: (one.after or one.before or _never()).date)


def _steps(label: str, after: int) -> Any:  # noqa: ANN401 - a query
    concerned = select(ENTRY_SWIMMERS.c.entry).where(ENTRY_SWIMMERS.c.swimmer == label)
    return (
        select(STEPS)
        .join(ENTRIES, ENTRIES.c.id == STEPS.c.entry)
        .where(ENTRIES.c.id > after, ENTRIES.c.state.in_(("done", "final")))
        .where(STEPS.c.place == SWIMS.name, STEPS.c.entry.in_(concerned))
        .order_by(STEPS.c.id.desc())
    )


def _swim(row: dict[str, Any] | None) -> Swim | None:
    if row is None:
        return None
    return stored_row(Swim, {**BLANKS[SWIMS.name], "version": 0, **row}).record


def _never() -> Swim:
    raise AssertionError("a change without a swim before or after it is none")
