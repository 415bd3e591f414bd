"""Consents on record: who gave which, who took which back, and where one is missing."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping
from dataclasses import dataclass

from tracker.app.session import Session
from tracker.entry.dates import checked_past, parse_date
from tracker.entry.forms import read_record
from tracker.errors import EntryError, Problem, UsageError
from tracker.model.age import may_be_minor
from tracker.model.base import StoredRow
from tracker.model.swimmer import Consent, Swimmer, consent_status, latest
from tracker.model.text import clean_line
from tracker.model.vocabularies import ConsentStatus, GivenBy, Purpose
from tracker.remedies import Mend
from tracker.store.reading import Reader


@dataclass(frozen=True)
class GivenConsent:
    """A consent that was written down; `minor` if a minor gave it alone."""

    consent: Consent
    minor: bool


@dataclass(frozen=True)
class ConsentLine:
    """How one swimmer stands: by purpose, and what was written down for each."""

    swimmer: str
    minor: bool
    status: Mapping[Purpose, ConsentStatus]


def give_consent(session: Session, form: Mapping[str, str]) -> GivenConsent:
    """Write a consent down; `form` holds fields of `Consent` as typed ("date" empty for today).

    Raises
    ------
    UnknownNameError
        If nobody is called so.
    EntryError
        With every problem of the form.
    """
    with session.store.read() as reader:
        swimmer = reader.swimmer(form.get("swimmer", "")).record
    day = form.get("date", "").strip() or session.today.isoformat()
    consent = read_record(Consent, {**form, "date": day, "swimmer": swimmer.swimmer})
    _check_day("date", consent.date, swimmer, session.today)
    if consent.until is not None and consent.until < consent.date:
        reason = f"{consent.until} lies before the consent, {consent.date}"
        raise EntryError((Problem("until", consent.until.isoformat(), reason),))
    with session.write(f"consent of {swimmer.swimmer} for {_for(consent.purpose)}") as writer:
        writer.add([consent])
    return GivenConsent(
        consent, may_be_minor(swimmer.born, session.today) and consent.given_by is GivenBy.SELF
    )


def withdraw_consent(session: Session, form: Mapping[str, str]) -> Consent:
    """Note that a consent was taken back; one that was never written down is noted as withdrawn at once.

    Parameters
    ----------
    form
        "swimmer", "purpose", and if given "date", the day of the withdrawal.

    Raises
    ------
    UnknownNameError
        If nobody is called so.
    EntryError
        With every problem of the form.
    UsageError
        If it was withdrawn already.
    """
    with session.store.read() as reader:
        swimmer = reader.swimmer(form.get("swimmer", "")).record
    day = _day(form.get("date", ""), session.today)
    _check_day("date", day, swimmer, session.today)
    wanted = read_record(
        Consent,
        {"date": day.isoformat(), "swimmer": swimmer.swimmer, "purpose": form.get("purpose", "")},
    )
    what = f"withdraw the consent of {swimmer.swimmer} for {_for(wanted.purpose)}"
    with session.write(what) as writer:
        rows = writer.all(Consent, swimmer=swimmer.swimmer)
        old = latest([one.record for one in rows], wanted.purpose, day)
        if old is None:
            noted = wanted.model_copy(update={"withdrawn": day})
            writer.add([noted])
            return noted
        if old.withdrawn is not None:
            raise UsageError(f"that consent was withdrawn already, on {old.withdrawn}")
        row = next(one for one in reversed(rows) if one.record == old)
        writer.change(Consent, row.id, row.version, withdrawn=day)
    return old.model_copy(update={"withdrawn": day})


def list_consents(session: Session, name: str) -> list[StoredRow[Consent]]:
    """Return what was written down of one swimmer's consents, oldest first; raises `UnknownNameError`."""
    with session.store.read() as reader:
        return reader.all(Consent, swimmer=reader.swimmer(name).record.swimmer)


def consent_lines(session: Session) -> list[ConsentLine]:
    """Return how every swimmer stands, also the archived."""
    with session.store.read() as reader:
        people = [row.record for row in reader.all(Swimmer)]
        given: dict[str, list[Consent]] = {}
        for row in reader.all(Consent):
            given.setdefault(row.record.swimmer, []).append(row.record)
    return [
        ConsentLine(
            who.swimmer,
            may_be_minor(who.born, session.today),
            {
                purpose: consent_status(given.get(who.swimmer, ()), purpose, session.today)
                for purpose in Purpose
            },
        )
        for who in people
    ]


def check_may_record(reader: Reader, label: str, day: dt.date) -> None:
    """Raise `UsageError` if a swimmer's consent to be on record was withdrawn by `day`."""
    consents = [row.record for row in reader.all(Consent, swimmer=label, purpose=Purpose.RECORD)]
    if consent_status(consents, Purpose.RECORD, day) is ConsentStatus.WITHDRAWN:
        raise UsageError(
            f"{label} has withdrawn the consent to be on record; nothing more is written down",
            Mend.NEW_CONSENT,
        )


def _for(purpose: Purpose) -> str:
    return "the record" if purpose is Purpose.RECORD else purpose


def _day(text: str, as_of: dt.date) -> dt.date:
    try:
        return parse_date(text) if text.strip() else as_of
    except ValueError as wrong:
        raise EntryError((Problem("date", clean_line(text), str(wrong)),)) from None


def _check_day(field: str, day: dt.date, swimmer: Swimmer, as_of: dt.date) -> None:
    try:
        checked_past(day, as_of, swimmer.born)
    except ValueError as wrong:
        raise EntryError((Problem(field, day.isoformat(), str(wrong)),)) from None
