"""The swimmer, their consents and the coach's choices for them."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable
from typing import Annotated, Literal

from sqlmodel import Field

from tracker.model.about import About
from tracker.model.base import Day, Line, Name, Note, Record, Remark, Seconds, Side
from tracker.model.vocabularies import ChoiceKind, ConsentStatus, GivenBy, Purpose


class Swimmer(Record):
    """A swimmer, named by a label that is unique in the database.

    Attributes
    ----------
    swimmer
        The label.
    test_every, look_every
        The rhythm wanted, in days; None goes by habit (`technique.rhythm`).
    archived
        The day they were archived; None while active.
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
    sex: Annotated[
        Literal["", "f", "m"],
        About(
            "f or m; used for growth and ageing, never required",
            hint="f or m, or empty; for growth and ageing",
            headers="gender, geschlecht, sexe, sexo, sesso, geslacht",
        ),
    ] = ""
    target_pace: Annotated[
        Seconds | None,
        About(
            "pace per 100 m to be reached",
            value="T",
            hint="min:s per 100 m",
            label="target pace",
            heading="target",
            typed="pace",
        ),
    ] = None
    target_date: Annotated[dt.date | None, About("by when, YYYY-MM-DD", label="by", heading="by")] = None
    test_every: Annotated[
        int | None,
        About(
            "days from one test to the next; empty: as is usual for the swimmer, then for the group",
            value="DAYS",
            hint="days; empty: as usual",
            label="test every",
            heading="test every",
        ),
    ] = Field(default=None, ge=1, le=366)
    look_every: Annotated[
        int | None,
        About(
            "days from one look at technique to the next; empty: as usual",
            value="DAYS",
            hint="days; empty: as usual",
            label="look every",
            heading="look every",
        ),
    ] = Field(default=None, ge=1, le=366)
    archived: Annotated[dt.date | None, About(fixed=True)] = None
    note: Annotated[Remark, About("anything else; nothing about health", hint="nothing about health")] = ""


class Consent(Record):
    """A consent: for what, on which ground, given by whom, until when, withdrawn when."""

    date: Day
    swimmer: Name
    purpose: Annotated[
        Purpose,
        About("what for", flag="for", label="what for", heading="for", order=1),
    ] = Purpose.PAGES
    ground: Annotated[Line, About("on which ground, in words")] = ""
    given_by: Annotated[
        GivenBy,
        About("who gave it", flag="by", label="given by", heading="by", empty="self"),
    ] = GivenBy.SELF
    how: Annotated[Line, About("how it was given: on paper, by mail", hint="on paper, by mail")] = ""
    text_version: Annotated[
        Line, About("which version of the text", hint="which version of it", label="text", heading="text")
    ] = ""
    until: Annotated[dt.date | None, About("until when it holds", hint="YYYY-MM-DD, or empty")] = None
    withdrawn: Annotated[dt.date | None, About("when it was taken back", fixed=True)] = None


class Choice(Record):
    """A decision by a person that overrides or precedes the tool's proposal.

    `value` is the drawn arm, the seen verdict, or "parked" of a fault that was chosen although it was parked.
    """

    date: Annotated[Day, About(fixed=True)]
    swimmer: Name
    kind: Annotated[ChoiceKind, About(fixed=True)]
    fault: Annotated[
        Line,
        About(
            "work on this one instead; kept with its reason, and with an end",
            value="FAULT",
            hint="its short name",
            flag="choose",
        ),
    ] = ""
    side: Side = ""
    value: Annotated[Line, About(fixed=True)] = ""
    reason: Annotated[Note, About("why", value="T", hint="kept beside the choice")] = ""
    by: Annotated[Line, About(fixed=True)] = ""


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


def consent_status(consents: Iterable[Consent], purpose: Purpose, day: dt.date) -> ConsentStatus:
    """Return whether a consent for a purpose stands on `day`, and if not, what became of it."""
    found = latest(consents, purpose, day)
    if found is None:
        return ConsentStatus.NONE
    if found.withdrawn is not None and found.withdrawn <= day:
        return ConsentStatus.WITHDRAWN
    over = found.until is not None and found.until < day
    return ConsentStatus.ENDED if over else ConsentStatus.GIVEN
