"""Start or stop a cue (what the swimmer thinks) or a drill (what the swimmer does)."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from tracker.errors import EntryError, Problem
from tracker.tui.drafts import draft_name
from tracker.tui.screens.form import FormScreen
from tracker.tui.widgets.form_sheet import FormField

STOPS = frozenset({"stop", "end"})


class StartWorkScreen(FormScreen):
    """One form for both: "start" or "stop" says which."""

    NAME = "A cue or a drill"
    LOGS = True

    def __init__(self, swimmer: str, fault: str = "") -> None:
        super().__init__(draft_name("work", swimmer))
        self._for, self._fault = swimmer, fault
        self._answered: Sequence[str] = ()

    def fields(self, values: Mapping[str, str]) -> Sequence[FormField]:
        """Return what to start or stop."""
        stopping = values.get("act", "start") in STOPS
        fields = (
            FormField("swimmer", "swimmer", value=self._for),
            FormField("act", "start or stop", value="start"),
            FormField("kind", "kind", "cue or drill", value="cue"),
            FormField("text", "text", "in the swimmer's words; to stop, how it begins"),
        )
        day = FormField("day", "last day" if stopping else "from", "YYYY-MM-DD; empty is today")
        if stopping:
            return (*fields, day)
        more = (
            FormField("fault", "fault", "which it answers; may be empty", self._fault),
            FormField("per_week", "times a week", "of a drill"),
        )
        return (*fields, *more, day)

    def care(self, values: Mapping[str, str]) -> Sequence[str]:
        """Return what the words of what begins call for, and, once it is saved, the fault it answers."""
        from tracker.faults.cautions import codes_in

        stopping = values.get("act", "start").casefold() in STOPS
        return () if stopping else codes_in([values.get("text", "")], self._answered)

    def store_it(self, values: Mapping[str, str], *, accept: bool) -> str:  # noqa: ARG002 (nothing to accept)
        """Start or stop it."""
        from tracker.usecases.change_work import start_work, stop_work

        kind = values["kind"].casefold()
        if kind not in {"cue", "drill"}:
            raise EntryError((Problem("kind", kind, "is neither cue nor drill"),))
        if values["act"].casefold() in STOPS:
            form = {"kind": kind, "text": values["text"], "to": values["day"]}
            work = stop_work(self.desk.store, values["swimmer"], form, **self.written_by())
            return f"{work.swimmer}: stopped the {work.kind} {work.text} on {work.to_date}."
        form = {
            "kind": kind,
            "text": values["text"],
            "from": values["day"],
            "fault": values["fault"],
            "per_week": values["per_week"],
        }
        work, answered = start_work(self.desk.store, values["swimmer"], form, **self.written_by())
        self._answered = answered.care if answered else ()
        return f"{work.swimmer}: started the {work.kind} {work.text}."
