"""Forms for a fault's life, cues and drills."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from tracker.errors import EntryError, Problem, UnknownNameError
from tracker.technique.practice_words import Caution
from tracker.tui.drafts import draft_name
from tracker.tui.drawing.fault_words import matching, one_fault
from tracker.tui.remedies import failure_words
from tracker.tui.screens.form import FormScreen
from tracker.tui.widgets.form_sheet import FormField


class StepFaultScreen(FormScreen):
    """The fault is found by typing any part of its names."""

    NAME = "A fault"
    LOGS = True

    def __init__(self, swimmer: str, fault: str = "", side: str = "") -> None:
        super().__init__(draft_name("fault", swimmer))
        self._for, self._fault, self._side = swimmer, fault, side

    def fields(self, values: Mapping[str, str]) -> Sequence[FormField]:  # noqa: ARG002 (always the same)
        """Return what a step needs."""
        return (
            FormField("swimmer", "swimmer", value=self._for),
            FormField("fault", "fault", "type a part of its name", self._fault),
            FormField("side", "side", "left, right or empty", self._side),
            FormField("step", "step", "open seen work corrected park back"),
            FormField("severity", "severity", "1 slight to 3 strong"),
            FormField("date", "date", "YYYY-MM-DD; empty is today"),
            FormField("reviewer", "seen by", "empty: only said to be so"),
            FormField("note", "reason", "needed to park a fault"),
        )

    def problems(self, values: Mapping[str, str]) -> tuple[tuple[Problem, ...], str]:
        """Say which faults fit what is typed, and what the one meant is."""
        from tracker.app.faults import list_faults

        faults = list_faults(self.session)
        found = matching(values["fault"], faults)
        if values["fault"] and not found:
            return (
                Problem("fault", values["fault"], failure_words(UnknownNameError("fault", values["fault"]))),
            ), ""
        if len(found) == 1:
            return (), one_fault(found[0])
        return (), "Fits: " + ", ".join(fault.slug for fault in found[:12])

    def submit(self, values: Mapping[str, str], *, accept: bool) -> str:  # noqa: ARG002 (nothing to accept)
        """Write the step down."""
        from tracker.app.faults import TypedStep, change_fault, list_faults

        found = matching(values["fault"], list_faults(self.session))
        changed = change_fault(
            self.session,
            TypedStep(
                values["swimmer"],
                values["step"],
                found[0].slug if len(found) == 1 else values["fault"],
                values["side"],
                values["severity"],
                values["date"],
                values["reviewer"],
                values["note"],
            ),
        )
        side = f", {changed.step.side}" if changed.step.side else ""
        return f"{changed.step.swimmer}: {changed.entry.name}{side} is {changed.after}."


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

    def care(self, values: Mapping[str, str]) -> Sequence[Caution]:
        """Return what the words of what begins call for, and, once it is saved, the fault it answers."""
        from tracker.technique.cautions import codes_in

        stopping = values.get("act", "start").casefold() in STOPS
        return () if stopping else codes_in([values.get("text", "")], self._answered)

    def submit(self, values: Mapping[str, str], *, accept: bool) -> str:  # noqa: ARG002 (nothing to accept)
        """Start or stop it."""
        from tracker.app.work import start_work, stop_work

        kind = values["kind"].casefold()
        if kind not in {"cue", "drill"}:
            raise EntryError((Problem("kind", kind, "is neither cue nor drill"),))
        if values["act"].casefold() in STOPS:
            form = {"kind": kind, "text": values["text"], "to": values["day"]}
            work = stop_work(self.session, values["swimmer"], form)
            return f"{work.swimmer}: stopped the {work.kind} {work.text} on {work.to_date}."
        form = {
            "kind": kind,
            "text": values["text"],
            "from": values["day"],
            "fault": values["fault"],
            "per_week": values["per_week"],
        }
        work, answered = start_work(self.session, values["swimmer"], form)
        self._answered = answered.care if answered else ()
        return f"{work.swimmer}: started the {work.kind} {work.text}."
