"""Which consent counts: the latest given for a purpose by a day."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable
from typing import Literal

from tracker.records.swimmer import Consent

Standing = Literal["none", "given", "ended", "withdrawn"]


def latest(consents: Iterable[Consent], purpose: str, day: dt.date) -> Consent | None:
    """Return the latest consent for a purpose given by `day`; of two of one day the one written last."""
    found = None
    for consent in consents:
        if (
            consent.purpose == purpose
            and consent.date <= day
            and (found is None or consent.date >= found.date)
        ):
            found = consent
    return found


def standing(consents: Iterable[Consent], purpose: str, day: dt.date) -> Standing:
    """Return whether a consent for a purpose stands on `day`, and if not, what became of it."""
    found = latest(consents, purpose, day)
    if found is None:
        return "none"
    if found.withdrawn is not None and found.withdrawn <= day:
        return "withdrawn"
    return "ended" if found.until is not None and found.until < day else "given"
