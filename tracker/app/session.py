"""The session: the first argument of every use-case."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass
from typing import TYPE_CHECKING

from tracker.settings import Settings

if TYPE_CHECKING:
    from contextlib import AbstractContextManager

    from tracker.store.database import Store
    from tracker.store.writing import Writer


@dataclass(frozen=True)
class Session:
    """The database that somebody works with, and who works with it, when and by which thresholds.

    Attributes
    ----------
    today
        The day that answers are about; nothing dated later counts.
    who
        The name that a change has in the history.
    now
        The moment that a change has in the history, with its zone.
    """

    store: Store
    today: dt.date
    settings: Settings
    who: str
    now: dt.datetime

    def data_version(self) -> int:
        """Return a number that changes with every commit, whoever makes it."""
        with self.store.light_reader() as reader:
            return reader.data_version()

    def write(self, what: str) -> AbstractContextManager[Writer]:
        """Return a transaction that stands in the history as `what`."""
        return self.store.write(who=self.who, what=what, at=self.now)
