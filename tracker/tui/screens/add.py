"""Forms that add: a swimmer, a test definition, an own fault."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import ClassVar

from tracker.model.about import RecordField, fields_of
from tracker.model.catalogue import areas
from tracker.model.fault import OWN, OwnFault
from tracker.model.swim_test import SwimTest
from tracker.model.swimmer import Swimmer
from tracker.model.vocabularies import SwimTestKind
from tracker.tui.screens.form import RecordForm


class SwimmerForm(RecordForm):
    """A label is all that is needed."""

    KIND = Swimmer
    WITHOUT = ("swimmer",)

    def asked(self, values: Mapping[str, str]) -> Sequence[RecordField]:
        """Return the label too, which may be changed like the rest."""
        return (fields_of(Swimmer)["swimmer"], *super().asked(values))


class AddSwimmerScreen(SwimmerForm):
    """The fields of a swimmer, empty."""

    NAME = "Add a swimmer"
    DRAFT = "add-swimmer"

    def submit(self, values: Mapping[str, str]) -> str:
        """Add them."""
        from tracker.app.swimmers import add_swimmer

        swimmer, alike = add_swimmer(self.session, values)
        note = f"; looks like {', '.join(alike)}" if alike else ""
        return f"Added {swimmer.swimmer}{note}."


class EditSwimmerScreen(SwimmerForm):
    """The same fields, filled."""

    NAME = "Change a swimmer"
    DRAFT = "edit-swimmer"

    def __init__(self, old: Swimmer) -> None:
        super().__init__(old.swimmer, begun={f.name: f.as_typed(old) for f in fields_of(Swimmer).values()})

    def subject(self) -> str:
        """Return the swimmer it is about."""
        return self._for

    def submit(self, values: Mapping[str, str]) -> str:
        """Change what differs."""
        from tracker.app.swimmers import edit_swimmer

        new = edit_swimmer(self.session, self._for, values)
        return f"Changed {new.swimmer}."


class AddTestScreen(RecordForm):
    """Distances, or a duration, or repeats of one distance."""

    NAME = "A test of your own"
    DRAFT = "add-test"
    KIND = SwimTest
    BEGUN: ClassVar[Mapping[str, str]] = {"kind": SwimTestKind.DISTANCES}

    def asked(self, values: Mapping[str, str]) -> Sequence[RecordField]:
        """Return the fields of a definition; a duration has a time instead of distances."""
        other = "distances" if values.get("kind", "").casefold() == SwimTestKind.DURATION else "duration_s"
        return [field for field in super().asked(values) if field.own != other]

    def submit(self, values: Mapping[str, str]) -> str:
        """Add it."""
        from tracker.app.swim_tests import add_test

        added = add_test(self.session, values)
        return f"Added the test {added.test}."


class AddFaultScreen(RecordForm):
    """A short name and a plain one are enough; what is left empty is not known."""

    NAME = "A fault of your own"
    DRAFT = "add-fault"
    KIND = OwnFault
    BEGUN: ClassVar[Mapping[str, str]] = {"fault": OWN}

    def hint(self, field: RecordField) -> str:
        """Name the areas there are."""
        return " ".join(area.slug for area in areas()) if field.own == "area" else super().hint(field)

    def submit(self, values: Mapping[str, str]) -> str:
        """Add it."""
        from tracker.app.faults import add_fault

        added = add_fault(self.session, self.form(values))
        return f"Added the fault {added.slug}: {added.name}."
