"""Log what was swum in a week: how often, how far."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from tracker.errors import Problem, UnknownNameError
from tracker.tui.drafts import draft_name
from tracker.tui.screens.form import FormScreen
from tracker.tui.widgets.form_sheet import FormField

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
            FormField("week", "week", "any day of it, YYYY-MM-DD; empty is this week"),
            FormField("sessions", "sessions", "how many"),
            FormField("metres", "metres", "how many"),
        )

    def problems(self, values: Mapping[str, str]) -> tuple[tuple[Problem, ...], str]:
        """Say which weeks are on record."""
        from tracker.output.event_words import load_words
        from tracker.records.event import Load
        from tracker.usecases.list_entries import list_entries

        if not values["swimmer"]:
            return (), ""
        try:
            kept = list_entries(self.desk.store, Load, values["swimmer"])
        except UnknownNameError as error:
            return (Problem("swimmer", values["swimmer"], str(error)),), ""
        last = "; ".join(load_words(one.record) for one in reversed(kept[-SHOWN:]))
        return (), f"On record, {last}." if last else "No week is on record yet."

    def store_it(self, values: Mapping[str, str], *, accept: bool) -> str:  # noqa: ARG002 (nothing to accept)
        """Log it."""
        from tracker.output.event_words import load_words
        from tracker.usecases.log_event import log_load

        week = values["week"] or self.slackwater.today().isoformat()
        load, replaced = log_load(self.desk.store, {**values, "week": week}, **self.written_by())
        instead = ", instead of what was logged before" if replaced else ""
        return f"Logged for {load.swimmer}: {load_words(load)}{instead}."
