"""One field of a form: its label, what is typed, and what is to be said about it."""

from __future__ import annotations

from textual.app import ComposeResult
from textual.containers import Horizontal

from tracker.tui.widgets.field import Field
from tracker.tui.widgets.lines import TextLine


class FormLine(Horizontal):
    """A label, a field and a note. The note holds a hint, or the problem while there is one."""

    def __init__(self, name: str, label: str, *, hint: str = "", value: str = "") -> None:
        super().__init__(id=f"line-{name}", classes="form-line")
        self.field_name = name
        self._label = label
        self._hint = hint
        self._value = value

    def compose(self) -> ComposeResult:
        """Yield the three parts."""
        yield TextLine(self._label, role="form-label")
        yield Field(self._value, id=f"field-{self.field_name}")
        yield TextLine(self._hint, role="form-note", id=f"note-{self.field_name}")

    @property
    def field(self) -> Field:
        """The input."""
        return self.query_one(Field)

    @property
    def value(self) -> str:
        """What is typed, without outer blanks."""
        return self.field.value.strip() if self.is_mounted else self._value

    @value.setter
    def value(self, text: str) -> None:
        self.field.value = text

    @property
    def problem(self) -> str:
        """The problem shown, or ""."""
        note = self.query_one(f"#note-{self.field_name}", TextLine)
        return note.text if note.has_class("bad") else ""

    def say(self, text: str, *, bad: bool = False) -> None:
        """Show a problem or another hint; empty text brings the usual hint back."""
        note = self.query_one(f"#note-{self.field_name}", TextLine)
        note.say(text or self._hint, "form-note bad" if bad and text else "form-note")
