"""Who gets a page in a month, and who does not and why."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass

from tracker.output.pages.permission import why_not
from tracker.records.swimmer import Consent, Swimmer
from tracker.settings import Settings
from tracker.store.database import Store


@dataclass(frozen=True)
class PageDue:
    """A swimmer and the reason why no page may be made; "" where one may."""

    swimmer: str
    group: str
    why_not: str


def list_pages(store: Store, *, as_of: dt.date, settings: Settings) -> list[PageDue]:
    """Return everybody in order of label, and why they get no page on `as_of`, of whatever month."""
    with store.read() as reader:
        consents: dict[str, list[Consent]] = {}
        for kept in reader.all(Consent):
            consents.setdefault(kept.record.swimmer, []).append(kept.record)
        people = sorted((kept.record for kept in reader.all(Swimmer)), key=lambda who: who.swimmer)
    needed = settings.consent_needed
    return [
        PageDue(who.swimmer, who.group, why_not(who, consents.get(who.swimmer, ()), as_of, needed=needed))
        for who in people
    ]
