"""What is logged for a swimmer, with what is doubtful and whether it counts."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass

from tracker.records.kept import Kept
from tracker.records.swim import Swim
from tracker.settings import Settings
from tracker.store.database import Store
from tracker.usecases.why import why
from tracker.verdict.standing import Standing, standings


@dataclass(frozen=True)
class ListedSwim:
    """A swim as it is kept, and how it stands."""

    kept: Kept[Swim]
    standing: Standing


def list_swims(store: Store, name: str, *, as_of: dt.date, settings: Settings) -> list[ListedSwim]:
    """Return the swims of a swimmer up to a day, oldest first, as the verdict of that day takes them.

    Raises
    ------
    UnknownNameError
        If nobody is called so.
    """
    view = why(store, name, as_of=as_of, settings=settings)
    found = standings((kept.record for kept in view.swims), view.line.verdict, settings)
    return [ListedSwim(kept, standing) for kept, standing in zip(view.swims, found, strict=True)]
