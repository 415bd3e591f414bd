"""Forms for dated events, weekly load and consents."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from tracker.errors import EntryError, Problem
from tracker.model.about import RecordField, health_fields
from tracker.model.event import Event, Load
from tracker.model.event_kinds import kind_of, offered_kinds
from tracker.model.practices import Caution
from tracker.model.swimmer import Consent
from tracker.model.vocabularies import BodyPart, Purpose
from tracker.tui.remedies import SCREENS
from tracker.tui.screens.form import RecordForm
from tracker.tui.widgets.form_sheet import FormField


class LogEventScreen(RecordForm):
    """Kind, from, to, note."""

    NAME = "Log an event"
    DRAFT = "event"
    LOGS = True
    KIND = Event

    def fields(self, values: Mapping[str, str]) -> Sequence[FormField]:
        """Leave out what is always about health while that is switched off."""
        hidden = () if self.session.settings.health else health_fields(Event, "always")
        return [field for field in super().fields(values) if field.name not in hidden]

    def hint(self, field: RecordField) -> str:
        """Name the kinds; those about health only where they are switched on."""
        kinds = offered_kinds(health=self.session.settings.health)
        return " ".join(kinds) if field.own == "kind" else super().hint(field)

    def care(self, values: Mapping[str, str]) -> Sequence[Caution]:
        """Return what the kind and the words of the note call for."""
        from tracker.technique.cautions import codes_of_event

        typed = values.get("kind", "").strip().casefold()
        part = values.get("body_part", "").strip().casefold()
        known = next((one for one in BodyPart if one == part), BodyPart.UNKNOWN)
        return codes_of_event(kind_of(typed), values.get("note", ""), known)

    def submit(self, values: Mapping[str, str]) -> str:
        """Log it."""
        from tracker.app.events import log_event

        event = log_event(self.session, values)
        return f"Logged for {event.swimmer}: {event.kind} from {event.from_date}."


SHOWN = 3
"""Weeks on record that are named while one types."""


class LogLoadScreen(RecordForm):
    """A week, sessions, metres; what is logged for the week already is replaced."""

    NAME = "A week of swimming"
    DRAFT = "load"
    LOGS = True
    KIND = Load

    def beside(self, swimmer: str) -> str:
        """Say which weeks are on record."""
        from tracker.app.entries import list_entries
        from tracker.output.sentences.link import load_words

        rows = list_entries(self.session, Load, swimmer)
        last = "; ".join(load_words(one.record) for one in reversed(rows[-SHOWN:]))
        return f"On record, {last}." if last else "No week is on record yet."

    def submit(self, values: Mapping[str, str]) -> str:
        """Log it."""
        from tracker.app.events import log_load
        from tracker.output.sentences.link import load_words

        week = values["week"] or self.slackwater.today().isoformat()
        load, replaced = log_load(self.session, {**values, "week": week})
        instead = ", instead of what was logged before" if replaced else ""
        return f"Logged for {load.swimmer}: {load_words(load)}{instead}."


WITHDRAWS = frozenset({"withdraw", "withdrawn"})


class ConsentScreen(RecordForm):
    """Write down a consent, or that one was withdrawn: "give" or "withdraw" says which."""

    NAME = "A consent"
    DRAFT = "consent"
    KIND = Consent
    FIELDS = (FormField("act", "give or withdraw", value="give"),)

    def asked(self, values: Mapping[str, str]) -> Sequence[RecordField]:
        """Return what a consent, or its withdrawal, needs."""
        asked = super().asked(values)
        if values.get("act", "give").casefold() not in WITHDRAWS:
            return asked
        return [field for field in asked if field.own in {"purpose", "date"}]

    def beside(self, swimmer: str) -> str:
        """Say what is written down so far."""
        from tracker.app.consents import list_consents
        from tracker.output.sentences.people import consent_sentence

        rows = list_consents(self.session, swimmer)
        said = ". ".join(consent_sentence(one.record) for one in rows)
        return f"On record: {said}." if said else "No consent is written down yet."

    def submit(self, values: Mapping[str, str]) -> str:
        """Write it down."""
        from tracker.app.consents import give_consent, withdraw_consent
        from tracker.output.cautions import minor_consent
        from tracker.output.sentences.people import consent_sentence, record_withdrawn

        form = dict(values)
        act = form.pop("act").casefold()
        if act not in {"give", "given", *WITHDRAWS}:
            raise EntryError((Problem("act", act, "is neither give nor withdraw"),))
        if not form["purpose"]:
            raise EntryError((Problem("purpose", "", "is missing; write record, pages or clips"),))
        if act in WITHDRAWS:
            consent = withdraw_consent(self.session, form)
            more = f" {record_withdrawn(SCREENS)}" if consent.purpose is Purpose.RECORD else ""
        else:
            given = give_consent(self.session, form)
            consent, more = given.consent, f" {minor_consent(SCREENS)}" if given.minor else ""
        return f"{consent.swimmer}: {consent_sentence(consent)}.{more}"
