"""Forms that add: a swimmer, a test definition, an own fault."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from tracker.model.about import fields_of
from tracker.model.catalogue import areas
from tracker.model.fault import OWN
from tracker.model.swimmer import Swimmer
from tracker.technique.practice_words import Caution
from tracker.tui.drafts import draft_name
from tracker.tui.screens.form import FormScreen
from tracker.tui.widgets.form_sheet import FormField


class AddSwimmerScreen(FormScreen):
    """A label is all that is needed."""

    NAME = "Add a swimmer"

    def __init__(self) -> None:
        super().__init__("add-swimmer")

    def fields(self, values: Mapping[str, str]) -> Sequence[FormField]:  # noqa: ARG002 (always the same)
        """Return the fields of a swimmer."""
        return swimmer_fields(None)

    def submit(self, values: Mapping[str, str], *, accept: bool) -> str:  # noqa: ARG002 (nothing to accept)
        """Add them."""
        from tracker.app.swimmers import add_swimmer

        swimmer, alike = add_swimmer(self.session, values)
        note = f"; looks like {', '.join(alike)}" if alike else ""
        return f"Added {swimmer.swimmer}{note}."


class EditSwimmerScreen(FormScreen):
    """The same fields, filled."""

    NAME = "Change a swimmer"

    def __init__(self, swimmer: Swimmer) -> None:
        super().__init__(draft_name("edit-swimmer", swimmer.swimmer))
        self._old = swimmer

    def subject(self) -> str:
        """Return whom it is about."""
        return self._old.swimmer

    def fields(self, values: Mapping[str, str]) -> Sequence[FormField]:  # noqa: ARG002 (always the same)
        """Return the fields of a swimmer, filled."""
        return swimmer_fields(self._old)

    def submit(self, values: Mapping[str, str], *, accept: bool) -> str:  # noqa: ARG002 (nothing to accept)
        """Change what differs."""
        from tracker.app.swimmers import edit_swimmer

        new = edit_swimmer(self.session, self._old.swimmer, values)
        return f"Changed {new.swimmer}."


def swimmer_fields(old: Swimmer | None) -> tuple[FormField, ...]:
    """Return the fields with what is on record."""
    return tuple(
        FormField(field.name, field.label, field.hint, field.as_typed(old) if old else "")
        for name, field in fields_of(Swimmer).items()
        if name != "archived"
    )


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

    def care(self, values: Mapping[str, str]) -> Sequence[Caution]:
        """Return what the words of the definition call for."""
        from tracker.technique.cautions import codes_in

        return codes_in(values.get(name, "") for name in ("test", "name", "protocol"))

    def submit(self, values: Mapping[str, str], *, accept: bool) -> str:  # noqa: ARG002 (nothing to accept)
        """Add it."""
        from tracker.app.swim_tests import add_test

        form = {**values, "distances": values.get("distances", "").replace(",", " ")}
        added = add_test(self.session, form)
        return f"Added the test {added.test}."


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

    def care(self, values: Mapping[str, str]) -> Sequence[Caution]:
        """Return what the words of its cues and drills call for."""
        from tracker.technique.cautions import codes_in

        return codes_in(values.get(name, "") for name in ("cues", "drills"))

    def submit(self, values: Mapping[str, str], *, accept: bool) -> str:  # noqa: ARG002 (nothing to accept)
        """Add it."""
        from tracker.app.faults import add_fault

        form = {name: _lines(text) if name in SEVERAL else text for name, text in values.items()}
        added = add_fault(self.session, form)
        return f"Added the fault {added.slug}: {added.name}."


def _lines(text: str) -> str:
    return "\n".join(part.strip() for part in text.split(";"))
