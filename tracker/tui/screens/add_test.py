"""Add a test of the coach's own: what is swum, and by which steps."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from tracker.tui.screens.form import FormScreen
from tracker.tui.widgets.form_sheet import FormField


class AddTestScreen(FormScreen):
    """Distances, or a duration, or repeats of one distance."""

    NAME = "A test of your own"

    def __init__(self) -> None:
        super().__init__("add-test")

    def fields(self, values: Mapping[str, str]) -> Sequence[FormField]:
        """Return the fields of a definition; a duration has a time instead of distances."""
        lasting = values.get("kind", "").casefold() == "duration"
        swum = (
            FormField("duration", "duration", "20:00")
            if lasting
            else FormField("distances", "distances", "metres in the order swum: 400 200")
        )
        return (
            FormField("test", "short name", "small letters, digits, hyphens: lake-750"),
            FormField("name", "name", "in words"),
            FormField("kind", "kind", "distances, duration or repeats", "distances"),
            swum,
            FormField("stroke", "stroke", "free, back, breast, fly or medley; empty is free"),
            FormField("start", "start", "push or dive; empty is push"),
            FormField("rest", "rest", "usual, between the swims, seconds"),
            FormField("protocol", "steps", "in words"),
        )

    def care(self, values: Mapping[str, str]) -> Sequence[str]:
        """Return what the words of the definition call for."""
        from tracker.faults.cautions import codes_in

        return codes_in(values.get(name, "") for name in ("test", "name", "protocol"))

    def store_it(self, values: Mapping[str, str], *, accept: bool) -> str:  # noqa: ARG002 (nothing to accept)
        """Add it."""
        from tracker.usecases.add_test import add_test

        form = {**values, "distances": values.get("distances", "").replace(",", " ")}
        added = add_test(self.desk.store, form, who=self.desk.who, at=self.slackwater.now())
        return f"Added the test {added.test}."
