"""Defaults for an import from the database: the swimmer a row means, and the usual pool."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass

from tracker.app.session import Session
from tracker.errors import DecisionNeededError
from tracker.model.swim import Swim
from tracker.model.usual_course import usual_course
from tracker.remedies import Mend
from tracker.settings import Settings
from tracker.store.database import Store


def only_swimmer(session: Session) -> str:
    """Return the one swimmer there is.

    Raises
    ------
    DecisionNeededError
        If there is none, or more than one.
    """
    with session.store.read() as reader:
        labels = reader.labels(archived=True)
    if len(labels) == 1:
        return labels[0]
    there = f"{len(labels)} swimmers are" if labels else "no swimmer is"
    raise DecisionNeededError(f"no column says whose the swims are, and {there} on record", Mend.NAME_SWIMMER)


@dataclass(frozen=True)
class _Swum:
    """The fields of a stored swim that its course follows from."""

    date: dt.date
    set_id: str
    course: str


class CoursesOnRecord:
    """Gives the course of a swim that names none: that of the same swim on record, else the usual pool.

    A file that was taken in before is so met again with every row known, whatever was swum since.
    """

    def __init__(self, store: Store, settings: Settings) -> None:
        self._store, self._settings = store, settings
        self._same: dict[tuple[object, ...], str] | None = None
        self._swum: dict[str, list[_Swum]] = {}
        self._usual: dict[str, str] = {}

    def __call__(self, swimmer: str, date: dt.date, test: str, time_s: float | None) -> str:
        """Return the course of a swim."""
        if self._same is None:
            self._same = self._read()
        if course := self._same.get((swimmer, date, test, time_s)):
            return course
        if swimmer not in self._usual:
            self._usual[swimmer] = usual_course(self._swum.get(swimmer, ()), self._settings.course).course
        return self._usual[swimmer]

    def _read(self) -> dict[tuple[object, ...], str]:
        names = list(Swim.model_fields)
        columns = {
            name: names.index(name) for name in ("date", "swimmer", "test", "time_s", "course", "set_id")
        }
        same: dict[tuple[object, ...], str] = {}
        with self._store.read() as reader:
            for row in reader.rows(Swim):
                date, swimmer, test, time_s, course, set_id = (row[at] for at in columns.values())
                same[swimmer, date, test, time_s] = course
                self._swum.setdefault(swimmer, []).append(_Swum(date, set_id, course))
        return same
