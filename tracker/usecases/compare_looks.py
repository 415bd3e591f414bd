"""What changed between the looks of each reviewer, against that reviewer's own error."""

from __future__ import annotations

import datetime as dt

from tracker.faults.reviewing import LookChange, look_changes, own_errors
from tracker.records.catalogue import measures
from tracker.records.review import ReviewItem
from tracker.store.database import Store
from tracker.store.reading import Reader


def compare_looks(store: Store, name: str, *, as_of: dt.date, reviewer: str = "") -> tuple[LookChange, ...]:
    """Return the last change of each item, reviewers apart; of one reviewer if named.

    A reviewer's error comes from the clips of all swimmers that this reviewer read twice.

    Raises
    ------
    UnknownNameError
        If nobody is called so.
    """
    with store.read() as reader:
        return looks_in(reader, name, as_of=as_of, reviewer=reviewer)


def looks_in(reader: Reader, name: str, *, as_of: dt.date, reviewer: str = "") -> tuple[LookChange, ...]:
    """Return the same out of one snapshot."""
    label = reader.swimmer(name).record.swimmer
    items = [kept.record for kept in reader.all(ReviewItem) if kept.record.date <= as_of]
    own = [item for item in items if item.swimmer == label and reviewer in {"", item.reviewer}]
    norms = {measure.slug: measure for measure in measures()}
    return look_changes(own, own_errors(items), norms, until=as_of)
