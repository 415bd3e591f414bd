"""Whose record may have outlived its purpose: nothing new for long, or a consent taken back."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping
from dataclasses import dataclass

from tracker.records.base import Record
from tracker.records.consent import standing
from tracker.records.swimmer import Consent, Swimmer
from tracker.store.database import Store
from tracker.store.tables import DATE_OF
from tracker.usecases.show_swimmer import KINDS


@dataclass(frozen=True)
class Inactive:
    """A swimmer to decide about.

    Attributes
    ----------
    first, last
        Days of the first and the last entry of any kind; None if there is none.
    withdrawn
        Whether the consent to be on record was withdrawn, or has ended.
    """

    swimmer: Swimmer
    first: dt.date | None
    last: dt.date | None
    entries: int
    withdrawn: bool


def list_inactive(store: Store, *, as_of: dt.date, older_than: dt.timedelta) -> list[Inactive]:
    """Return swimmers whose last entry is older, or whose consent is gone, longest inactive first."""
    limit = as_of - older_than
    with store.read() as reader:
        people = [kept.record for kept in reader.all(Swimmer)]
        days: dict[str, list[dt.date]] = {who.swimmer: [] for who in people}
        for kind in KINDS.values():
            for row in reader.rows(kind):
                days[row[_place(kind, "swimmer")]].append(row[_place(kind, DATE_OF[kind])])
        consents: dict[str, list[Consent]] = {}
        for kept in reader.all(Consent):
            consents.setdefault(kept.record.swimmer, []).append(kept.record)
    found = [_line(who, days, consents, as_of) for who in people]
    due = [one for one in found if one.withdrawn or one.last is None or one.last < limit]
    return sorted(due, key=lambda one: (one.last or dt.date.min, one.swimmer.swimmer))


def _place(kind: type[Record], field: str) -> int:
    return list(kind.model_fields).index(field)


def _line(
    who: Swimmer,
    days: Mapping[str, list[dt.date]],
    consents: Mapping[str, list[Consent]],
    as_of: dt.date,
) -> Inactive:
    mine = days[who.swimmer]
    gone = standing(consents.get(who.swimmer, ()), "record", as_of) in {"withdrawn", "ended"}
    return Inactive(who, min(mine, default=None), max(mine, default=None), len(mine), gone)
