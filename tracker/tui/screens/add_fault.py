"""Add a fault of the coach's own to the catalogue."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from tracker.records.catalogue import areas
from tracker.records.fault import OWN
from tracker.tui.screens.form import FormScreen
from tracker.tui.widgets.form_sheet import FormField

SEVERAL = ("cues", "drills", "provoked_by")
"""Fields that hold several, a semicolon between them."""


class AddFaultScreen(FormScreen):
    """A short name and a plain one are enough; what is left empty is not known."""

    NAME = "A fault of your own"

    def __init__(self) -> None:
        super().__init__("add-fault")

    def fields(self, values: Mapping[str, str]) -> Sequence[FormField]:  # noqa: ARG002 (always the same)
        """Return the fields of an entry."""
        return (
            FormField("fault", "short name", f"begins with {OWN}: own-wall-glide", OWN),
            FormField("name", "name", "in plain words"),
            FormField("area", "area", " ".join(area.slug for area in areas())),
            FormField("view", "seen from", "side, front, above water"),
            FormField("measure", "look at", "what tells it"),
            FormField("norm", "norm", "how it should be"),
            FormField("cost", "costs", "what it costs"),
            FormField("cues", "cues", "that answer it; a semicolon between"),
            FormField("drills", "drills", "that answer it; a semicolon between"),
            FormField("provoked_by", "brought about by", "cues overdone; a semicolon between"),
            FormField("answers", "answers", "quick, medium or slow"),
            FormField("caution", "caution", "what to take care of"),
        )

    def care(self, values: Mapping[str, str]) -> Sequence[str]:
        """Return what the words of its cues and drills call for."""
        from tracker.faults.cautions import codes_in

        return codes_in(values.get(name, "") for name in ("cues", "drills"))

    def store_it(self, values: Mapping[str, str], *, accept: bool) -> str:  # noqa: ARG002 (nothing to accept)
        """Add it."""
        from tracker.usecases.add_fault import add_fault

        form = {name: _lines(text) if name in SEVERAL else text for name, text in values.items()}
        added = add_fault(self.desk.store, form, who=self.desk.who, at=self.slackwater.now())
        return f"Added the fault {added.slug}: {added.name}."


def _lines(text: str) -> str:
    return "\n".join(part.strip() for part in text.split(";"))
