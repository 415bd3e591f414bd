"""A step in a fault's life: opened, seen, in work, corrected, parked or back."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from tracker.errors import Problem, UnknownNameError
from tracker.tui.drafts import draft_name
from tracker.tui.drawing.fault_words import matching, one_fault
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
        from tracker.usecases.list_faults import list_faults

        faults = list_faults(self.desk.store)
        found = matching(values["fault"], faults)
        if values["fault"] and not found:
            return (Problem("fault", values["fault"], str(UnknownNameError("fault", values["fault"]))),), ""
        if len(found) == 1:
            return (), one_fault(found[0])
        return (), "Fits: " + ", ".join(fault.slug for fault in found[:12])

    def store_it(self, values: Mapping[str, str], *, accept: bool) -> str:  # noqa: ARG002 (nothing to accept)
        """Write the step down."""
        from tracker.usecases.change_fault import TypedStep, change_fault
        from tracker.usecases.list_faults import list_faults

        found = matching(values["fault"], list_faults(self.desk.store))
        changed = change_fault(
            self.desk.store,
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
            **self.written_by(),
        )
        side = f", {changed.step.side}" if changed.step.side else ""
        return f"{changed.step.swimmer}: {changed.entry.name}{side} is {changed.after}."
