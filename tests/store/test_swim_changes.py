"""What became of a swimmer's swims since an entry of the history, on both databases."""

from __future__ import annotations

import datetime as dt

from tests.builders import NOW, a_swim
from tracker.model.swim import Swim
from tracker.model.swimmer import Swimmer
from tracker.model.told import Told
from tracker.store.database import Store
from tracker.store.swim_changes import SwimChange, entries_of, swim_changes

ADA = "Ada Fjord"


def write(store: Store, what: str, *records: object) -> list[int]:
    with store.write(who="Maud", what=what, at=NOW) as writer:
        return writer.add(records)


def a_told(day: int = 1) -> Told:
    return Told(date=dt.date(2025, 3, day), swimmer=ADA, verdict="plateau", p=0.9, who="Maud")


def changed(store: Store, since: int, whose: str = ADA) -> list[tuple[float | None, float | None]]:
    with store.read() as reader:
        found = swim_changes(reader, whose, after=since)
    return [tuple(None if one is None else one.time_s for one in (c.before, c.after)) for c in found]


def told_entry(store: Store, number: int) -> int:
    with store.read() as reader:
        return entries_of(reader, Told, [number])[number]


def a_record(store: Store) -> tuple[list[int], int]:
    """Return the numbers of three swims of Ada's, and the entry of what was told after them."""
    write(store, "add them", Swimmer(swimmer=ADA), Swimmer(swimmer="Bo Dahl"))
    numbers = write(store, "log", a_swim(0, 400.0), a_swim(7, 401.0), a_swim(14, 402.0))
    (row,) = write(store, "tell", a_told())
    return numbers, told_entry(store, row)


def test_nothing_became_of_swims_that_nobody_touched(store: Store) -> None:
    _, entry = a_record(store)
    assert changed(store, entry) == []
    write(store, "log another's", a_swim(21, 390.0, swimmer="Bo Dahl"))
    assert changed(store, entry) == []


def test_added_corrected_and_deleted_swims_are_found_as_they_were_and_are(store: Store) -> None:
    (first, second, _), entry = a_record(store)
    write(store, "log late", a_swim(3, 399.0))
    with store.write(who="Maud", what="correct", at=NOW) as writer:
        writer.change(Swim, first, time_s=380.0)
    with store.write(who="Maud", what="correct again", at=NOW) as writer:
        writer.change(Swim, first, time_s=381.0, note="the other clock")
    with store.write(who="Maud", what="delete", at=NOW) as writer:
        writer.remove(Swim, second)
    assert changed(store, entry) == [(400.0, 381.0), (None, 399.0), (401.0, None)]


def test_what_was_undone_or_came_to_nothing_is_no_change(store: Store) -> None:
    (first, *_), entry = a_record(store)
    with store.write(who="Maud", what="correct", at=NOW) as writer:
        writer.change(Swim, first, time_s=380.0)
    store.undo(at=NOW)
    assert changed(store, entry) == []
    (late,) = write(store, "log late", a_swim(3, 399.0))
    with store.write(who="Maud", what="delete it", at=NOW) as writer:
        writer.remove(Swim, late)
    assert changed(store, entry) == []


def test_a_swim_changed_and_then_deleted_is_found_as_it_was_first(store: Store) -> None:
    (first, *_), entry = a_record(store)
    with store.write(who="Maud", what="correct", at=NOW) as writer:
        writer.change(Swim, first, time_s=380.0)
    with store.write(who="Maud", what="delete", at=NOW) as writer:
        writer.remove(Swim, first)
    assert changed(store, entry) == [(400.0, None)]


def test_a_new_label_is_followed(store: Store) -> None:
    (first, *_), entry = a_record(store)
    with store.write(who="Maud", what="correct", at=NOW) as writer:
        writer.change(Swim, first, time_s=380.0)
        writer.change(Swimmer, writer.swimmer(ADA).id, swimmer="Ada Holm")
    assert changed(store, entry, "Ada Holm") == [(400.0, 380.0)]


def test_only_what_came_after_the_entry_counts_and_each_row_has_its_own(store: Store) -> None:
    numbers, early = a_record(store)
    with store.write(who="Maud", what="correct", at=NOW) as writer:
        writer.change(Swim, numbers[0], time_s=380.0)
    rows = write(store, "tell again", a_told(8), a_told(9))
    with store.read() as reader:
        found = entries_of(reader, Told, rows)
    assert set(found) == set(rows)
    assert len(set(found.values())) == 1
    later = found[rows[0]]
    assert later > early
    assert changed(store, early) == [(400.0, 380.0)]
    assert changed(store, later) == []


def test_a_change_holds_whole_swims(store: Store) -> None:
    _, entry = a_record(store)
    write(store, "log late", a_swim(3, 399.0))
    with store.read() as reader:
        assert swim_changes(reader, ADA, after=entry) == [SwimChange(None, a_swim(3, 399.0))]
