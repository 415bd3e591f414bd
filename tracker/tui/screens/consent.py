"""Write down a consent, or that one was withdrawn."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from tracker.errors import EntryError, Problem, UnknownNameError
from tracker.model.vocabularies import Purpose
from tracker.tui.drafts import draft_name
from tracker.tui.remedies import SCREENS, failure_words
from tracker.tui.screens.form import FormScreen
from tracker.tui.widgets.form_sheet import FormField

WITHDRAWS = frozenset({"withdraw", "withdrawn"})


class ConsentScreen(FormScreen):
    """One form for both: "give" or "withdraw" says which."""

    NAME = "A consent"

    def __init__(self, swimmer: str) -> None:
        super().__init__(draft_name("consent", swimmer))
        self._for = swimmer

    def fields(self, values: Mapping[str, str]) -> Sequence[FormField]:
        """Return what a consent, or its withdrawal, needs."""
        fields = (
            FormField("swimmer", "swimmer", value=self._for),
            FormField("act", "give or withdraw", value="give"),
            FormField("purpose", "what for", "record, pages or clips"),
            FormField("date", "date", "YYYY-MM-DD; empty is today"),
        )
        if values.get("act", "give").casefold() in WITHDRAWS:
            return fields
        return (
            *fields,
            FormField("given_by", "given by", "self or guardian; empty is self"),
            FormField("ground", "ground", "on which ground, in words"),
            FormField("how", "how", "on paper, by mail"),
            FormField("text_version", "text", "which version of it"),
            FormField("until", "until", "YYYY-MM-DD, or empty"),
        )

    def problems(self, values: Mapping[str, str]) -> tuple[tuple[Problem, ...], str]:
        """Say what is written down so far."""
        from tracker.app.consents import list_consents
        from tracker.output.sentences.people import consent_sentence

        if not values["swimmer"]:
            return (), ""
        try:
            rows = list_consents(self.session, values["swimmer"])
        except UnknownNameError as error:
            return (Problem("swimmer", values["swimmer"], failure_words(error)),), ""
        said = ". ".join(consent_sentence(one.record) for one in rows)
        return (), f"On record: {said}." if said else "No consent is written down yet."

    def submit(self, values: Mapping[str, str], *, accept: bool) -> str:  # noqa: ARG002 (nothing to accept)
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
