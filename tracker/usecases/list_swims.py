"""What is logged for a swimmer, with what is doubtful and whether it counts."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable
from dataclasses import dataclass

from tracker.records.kept import Kept
from tracker.records.plausibility import Doubt, counts, doubts
from tracker.records.swim import Swim
from tracker.settings import Settings
from tracker.store.database import Store


@dataclass(frozen=True)
class ListedSwim:
    """A swim with what is doubtful about it; `counts` is whether it enters the trend."""

    kept: Kept[Swim]
    doubts: tuple[Doubt, ...]
    counts: bool


def list_swims(store: Store, name: str, *, as_of: dt.date, settings: Settings) -> list[ListedSwim]:
    """Return the swims of a swimmer up to a day, oldest first.

    Raises
    ------
    UnknownNameError
        If nobody is called so.
    """
    with store.read() as reader:
        label = reader.swimmer(name).record.swimmer
        kept = [one for one in reader.all(Swim, swimmer=label) if one.record.date <= as_of]
    return weighed(kept, settings)


def weighed(kept: Iterable[Kept[Swim]], settings: Settings) -> list[ListedSwim]:
    """Return one swimmer's swims with their doubts."""
    swims = list(kept)
    days: dict[dt.date, list[Swim]] = {}
    for one in swims:
        days.setdefault(one.record.date, []).append(one.record)
    found = [doubts(one.record, days[one.record.date], settings) for one in swims]
    return [
        ListedSwim(one, doubtful, counts(one.record, doubtful))
        for one, doubtful in zip(swims, found, strict=True)
    ]
