"""Add a swimmer, or change what is on record about one."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from tracker.records.swimmer import Swimmer
from tracker.records.units import format_time
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

    def store_it(self, values: Mapping[str, str], *, accept: bool) -> str:  # noqa: ARG002 (nothing to accept)
        """Add them."""
        from tracker.usecases.add_swimmer import add_swimmer

        swimmer, alike = add_swimmer(self.desk.store, values, limits=self.desk.settings, **self.written_by())
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

    def store_it(self, values: Mapping[str, str], *, accept: bool) -> str:  # noqa: ARG002 (nothing to accept)
        """Change what differs."""
        from tracker.usecases.edit_swimmer import edit_swimmer

        new = edit_swimmer(
            self.desk.store, self._old.swimmer, values, limits=self.desk.settings, **self.written_by()
        )
        return f"Changed {new.swimmer}."


def swimmer_fields(old: Swimmer | None) -> tuple[FormField, ...]:
    """Return the fields with what is on record."""
    target = format_time(old.target_pace) if old and old.target_pace else ""
    born = str(old.born) if old and old.born else ""
    day = old.target_date.isoformat() if old and old.target_date else ""
    return (
        FormField("swimmer", "label", "a name or pseudonym, unique", old.swimmer if old else ""),
        FormField("group", "group", "squad or lane", old.group if old else ""),
        FormField("born", "year of birth", "optional, never more than the year", born),
        FormField("target_pace", "target pace", "min:s per 100 m", target),
        FormField("target_date", "by", "YYYY-MM-DD", day),
        FormField("note", "note", "nothing about health", old.note if old else ""),
    )
