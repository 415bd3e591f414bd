"""Add a swimmer under a label of their own."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping

from tracker.entry.forms import read_record
from tracker.errors import EntryError, Problem
from tracker.records.likeness import look_of
from tracker.records.plausibility import Limits
from tracker.records.swimmer import Swimmer
from tracker.records.text import name_key
from tracker.settings import DEFAULT
from tracker.store.database import Store


def add_swimmer(
    store: Store,
    form: Mapping[str, str],
    *,
    as_of: dt.date,
    limits: Limits = DEFAULT,
    who: str,
    at: dt.datetime,
) -> tuple[Swimmer, tuple[str, ...]]:
    """Add one swimmer; return them, and the labels that look like theirs.

    Parameters
    ----------
    form
        Fields of `Swimmer` as typed.
    limits
        Between which paces a target may be.

    Raises
    ------
    EntryError
        With every problem of the form, or if the label is taken.
    """
    swimmer = read_record(Swimmer, form, limits=limits)
    check_birth(swimmer, as_of)
    with store.write(who=who, what=f"add {swimmer.swimmer}", at=at) as writer:
        labels = writer.labels(archived=True)
        check_free(swimmer.swimmer, labels)
        writer.add([swimmer])
    look = look_of(swimmer.swimmer)
    return swimmer, tuple(label for label in labels if look_of(label) == look)


def check_free(label: str, taken: list[str]) -> None:
    """Raise `EntryError` if a label is spelt like one that is taken."""
    same = [other for other in taken if name_key(other) == name_key(label)]
    if same:
        reason = f"{same[0]!r} is there already; a second person of that name needs another label"
        raise EntryError((Problem("swimmer", label, reason),))


def check_birth(swimmer: Swimmer, as_of: dt.date) -> None:
    """Raise `EntryError` if the year of birth has not come yet."""
    if swimmer.born is not None and swimmer.born > as_of.year:
        raise EntryError((Problem("born", str(swimmer.born), f"'{swimmer.born}' has not come yet"),))
