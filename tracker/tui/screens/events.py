"""Forms for dated events and weekly load."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from tracker.errors import Problem, UnknownNameError
from tracker.model.about import corrigible
from tracker.model.event import Event, Load
from tracker.model.event_kinds import kind_of, offered_kinds
from tracker.technique.practice_words import Caution
from tracker.tui.drafts import draft_name
from tracker.tui.remedies import failure_words
from tracker.tui.screens.form import FormScreen
from tracker.tui.widgets.form_sheet import FormField


class LogEventScreen(FormScreen):
    """Kind, from, to, note."""

    NAME = "Log an event"
    LOGS = True

    def __init__(self, swimmer: str) -> None:
        super().__init__(draft_name("event", swimmer))
        self._for = swimmer

    def fields(self, values: Mapping[str, str]) -> Sequence[FormField]:  # noqa: ARG002 (always the same)
        """Return the fields of an event; kinds about health only where they are switched on."""
        kinds = offered_kinds(health=self.session.settings.health)
        return (
            FormField("swimmer", "swimmer", value=self._for),
            FormField("kind", "kind", " ".join(kinds)),
            *(FormField(f.name, f.label, f.first_hint) for f in corrigible(Event) if f.own != "kind"),
        )

    def care(self, values: Mapping[str, str]) -> Sequence[Caution]:
        """Return what the kind and the words of the note call for."""
        from tracker.technique.cautions import codes_of_event

        typed = values.get("kind", "").strip().casefold()
        return codes_of_event(kind_of(typed), values.get("note", ""))

    def submit(self, values: Mapping[str, str], *, accept: bool) -> str:  # noqa: ARG002 (nothing to accept)
        """Log it."""
        from tracker.app.events import log_event

        event = log_event(self.session, values)
        return f"Logged for {event.swimmer}: {event.kind} from {event.from_date}."


SHOWN = 3
"""Weeks on record that are named while one types."""


class LogLoadScreen(FormScreen):
    """A week, sessions, metres; what is logged for the week already is replaced."""

    NAME = "A week of swimming"
    LOGS = True

    def __init__(self, swimmer: str) -> None:
        super().__init__(draft_name("load", swimmer))
        self._for = swimmer

    def fields(self, values: Mapping[str, str]) -> Sequence[FormField]:  # noqa: ARG002 (always the same)
        """Return the fields of a week."""
        return (
            FormField("swimmer", "swimmer", value=self._for),
            *(FormField(f.name, f.label, f.first_hint) for f in corrigible(Load)),
        )

    def problems(self, values: Mapping[str, str]) -> tuple[tuple[Problem, ...], str]:
        """Say which weeks are on record."""
        from tracker.app.entries import list_entries
        from tracker.output.sentences.link import load_words

        if not values["swimmer"]:
            return (), ""
        try:
            rows = list_entries(self.session, Load, values["swimmer"])
        except UnknownNameError as error:
            return (Problem("swimmer", values["swimmer"], failure_words(error)),), ""
        last = "; ".join(load_words(one.record) for one in reversed(rows[-SHOWN:]))
        return (), f"On record, {last}." if last else "No week is on record yet."

    def submit(self, values: Mapping[str, str], *, accept: bool) -> str:  # noqa: ARG002 (nothing to accept)
        """Log it."""
        from tracker.app.events import log_load
        from tracker.output.sentences.link import load_words

        week = values["week"] or self.slackwater.today().isoformat()
        load, replaced = log_load(self.session, {**values, "week": week})
        instead = ", instead of what was logged before" if replaced else ""
        return f"Logged for {load.swimmer}: {load_words(load)}{instead}."
