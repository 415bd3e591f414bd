"""Left and right are taken only of a fault that has sides."""

from __future__ import annotations

from collections.abc import Iterable

from tracker.errors import EntryError, Problem
from tracker.model.catalogue import Fault
from tracker.model.fault import FaultStep


def no_side(entry: Fault, side: str, on_record: Iterable[FaultStep]) -> str:
    """Return what is wrong with the side of a fault; empty where it can be taken.

    A side that is on record already, of an older version or an import, can still be named.
    """
    if entry.takes(side) or any((step.fault, step.side) == (entry.slug, side) for step in on_record):
        return ""
    return f"{entry.slug} has no left and right; leave {side!r} out"


def check_side(entry: Fault, side: str, on_record: Iterable[FaultStep]) -> None:
    """Raise `EntryError` where a fault cannot be recorded for `side`."""
    wrong = no_side(entry, side, on_record)
    if wrong:
        raise EntryError((Problem("side", side, wrong),))
