"""Who is coached: the swimmer, their consents and the coach's choices for them."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable
from typing import Annotated

from sqlmodel import Field

from tracker.model.about import About
from tracker.model.base import Line, Name, Note, Record, Remark, Seconds, Side
from tracker.model.vocabularies import ChoiceKind, ConsentStanding, GivenBy, Purpose


class Swimmer(Record):
    """A swimmer, named by a label that is unique in the database.

    Attributes
    ----------
    swimmer
        The label.
    archived
        The day they were put away; None while active.
    """

    swimmer: Annotated[Name, About(label="label")]
    group: Annotated[
        Line,
        About(
            "training group",
            value="G",
            hint="squad or lane",
            headers="squad, gruppe, lane, groupe, grupo, gruppo",
        ),
    ] = ""
    born: Annotated[
        int | None,
        About(
            "year of birth; never more than the year",
            value="YEAR",
            hint="optional, never more than the year",
            label="year of birth",
            headers="year of birth, jahrgang",
        ),
    ] = Field(default=None, ge=1900, le=2100)
    target_pace: Annotated[
        Seconds | None,
        About(
            "pace per 100 m to be reached",
            value="T",
            hint="min:s per 100 m",
            label="target pace",
            typed="pace",
        ),
    ] = None
    target_date: Annotated[dt.date | None, About("by when, YYYY-MM-DD", label="by")] = None
    archived: Annotated[dt.date | None, About(fixed=True)] = None
    note: Annotated[Remark, About("anything else; nothing about health", hint="nothing about health")] = ""


class Consent(Record):
    """A consent: for what, on which ground, given by whom, until when, withdrawn when."""

    date: dt.date
    swimmer: Name
    purpose: Purpose = Purpose.PAGES
    ground: Line = ""
    given_by: GivenBy = GivenBy.SELF
    how: Line = ""
    text_version: Line = ""
    until: dt.date | None = None
    withdrawn: dt.date | None = None


class Choice(Record):
    """A decision by a person that overrides or precedes the tool's proposal.

    `value` is the drawn arm, the seen verdict, or "parked" of a fault that was chosen although it was parked.
    """

    date: dt.date
    swimmer: Name
    kind: ChoiceKind
    fault: Line = ""
    side: Side = ""
    value: Line = ""
    reason: Note = ""
    by: Line = ""


def latest(consents: Iterable[Consent], purpose: Purpose, day: dt.date) -> Consent | None:
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


def standing(consents: Iterable[Consent], purpose: Purpose, day: dt.date) -> ConsentStanding:
    """Return whether a consent for a purpose stands on `day`, and if not, what became of it."""
    found = latest(consents, purpose, day)
    if found is None:
        return ConsentStanding.NONE
    if found.withdrawn is not None and found.withdrawn <= day:
        return ConsentStanding.WITHDRAWN
    over = found.until is not None and found.until < day
    return ConsentStanding.ENDED if over else ConsentStanding.GIVEN
