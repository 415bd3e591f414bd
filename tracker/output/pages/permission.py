"""Whether a page may be made of a swimmer, by archive state and consents."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable

from tracker.model.swimmer import Consent, Swimmer, latest
from tracker.model.vocabularies import Purpose
from tracker.output.sentences.numbers import full_day


def why_not(swimmer: Swimmer, consents: Iterable[Consent], day: dt.date, *, needed: bool) -> str:
    """Return why no page may be made on `day`; empty if one may.

    Parameters
    ----------
    consents
        The swimmer's, of any purpose; the latest one for pages counts.
    needed
        Whether the club makes pages only with a consent on record. A withdrawn one always counts.
    """
    if swimmer.archived is not None:
        return f"archived on {full_day(swimmer.archived)}"
    consents = list(consents)
    for purpose, what in ((Purpose.PAGES, "pages"), (Purpose.RECORD, "being on record")):
        found = latest(consents, purpose, day)
        if found is not None and found.withdrawn is not None and found.withdrawn <= day:
            return f"the consent for {what} was withdrawn on {full_day(found.withdrawn)}"
    if not needed:
        return ""
    given = latest(consents, Purpose.PAGES, day)
    if given is None:
        return "no consent for pages is on record"
    if given.until is not None and given.until < day:
        return f"the consent for pages ended on {full_day(given.until)}"
    return ""
