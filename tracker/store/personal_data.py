"""All data on one person, as plain values, for a subject access request."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from tracker.errors import UnknownNameError
from tracker.store.history_erasure import undo_data_of
from tracker.store.persons import find_person, rows_of
from tracker.store.reading import HistoryLine, Reader

Row = Mapping[str, Any]


@dataclass(frozen=True)
class PersonalData:
    """All of a person.

    Attributes
    ----------
    tables
        Every table that names a swimmer -> the rows that name this one, columns by name.
    undo
        What undo and redo keep of them: rows that are away, fields as they were.
    history
        The entries of the history that concern them, latest first.
    """

    tables: Mapping[str, Sequence[Row]]
    undo: Sequence[Row]
    history: Sequence[HistoryLine]


def personal_data(reader: Reader, label: str) -> PersonalData:
    """Return everything on one person; raises `UnknownNameError`."""
    person = find_person(reader.connection, label)
    if person is None:
        raise UnknownNameError("swimmer", label)
    return PersonalData(
        rows_of(reader.connection, person),
        undo_data_of(reader.connection, person),
        reader.history(label),
    )
