"""Whether a page may be made of a swimmer, and if not, why not."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable

from tracker.output.numbers import full_day
from tracker.records.swimmer import Consent, Swimmer


def why_not(swimmer: Swimmer, consents: Iterable[Consent], day: dt.date, *, needed: bool) -> str:
    """Return why no page may be made on `day`; empty if one may.

    Parameters
    ----------
    consents
        The swimmer's, of any purpose; the latest one for pages counts.
    needed
        Whether the club makes pages only with a consent on record.
    """
    if swimmer.archived is not None:
        return f"archived on {full_day(swimmer.archived)}"
    if not needed:
        return ""
    given = [consent for consent in consents if consent.purpose == "pages" and consent.date <= day]
    if not given:
        return "no consent for pages is on record"
    latest = max(given, key=lambda consent: consent.date)
    if latest.withdrawn is not None and latest.withdrawn <= day:
        return f"the consent for pages was withdrawn on {full_day(latest.withdrawn)}"
    if latest.until is not None and latest.until < day:
        return f"the consent for pages ended on {full_day(latest.until)}"
    return ""
