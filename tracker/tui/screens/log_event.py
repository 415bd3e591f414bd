"""Log something dated that may have moved the pace."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from tracker.records.event_kinds import HEALTH_KINDS
from tracker.tui.drafts import draft_name
from tracker.tui.screens.form import FormScreen
from tracker.tui.widgets.form_sheet import FormField

KINDS = ("layoff", "illness", "injury", "pool", "suit", "race", "camp", "other")


class LogEventScreen(FormScreen):
    """Kind, from, to, note."""

    NAME = "Log an event"
    LOGS = True

    def __init__(self, swimmer: str) -> None:
        super().__init__(draft_name("event", swimmer))
        self._for = swimmer

    def fields(self, values: Mapping[str, str]) -> Sequence[FormField]:  # noqa: ARG002 (always the same)
        """Return the fields of an event; kinds about health only where they are switched on."""
        kinds = [kind for kind in KINDS if self.desk.settings.health or kind not in HEALTH_KINDS]
        return (
            FormField("swimmer", "swimmer", value=self._for),
            FormField("kind", "kind", " ".join(kinds)),
            FormField("from", "from", "YYYY-MM-DD; empty is today"),
            FormField("to", "to", "last day, or empty"),
            FormField("note", "note", "nothing about health"),
        )

    def care(self, values: Mapping[str, str]) -> Sequence[str]:
        """Return what the kind and the words of the note call for."""
        from tracker.faults.cautions import codes_of_event

        return codes_of_event(values.get("kind", "").strip().casefold(), values.get("note", ""))

    def store_it(self, values: Mapping[str, str], *, accept: bool) -> str:  # noqa: ARG002 (nothing to accept)
        """Log it."""
        from tracker.usecases.log_event import log_event

        event = log_event(self.desk.store, values, settings=self.desk.settings, **self.written_by())
        return f"Logged for {event.swimmer}: {event.kind} from {event.from_date}."
