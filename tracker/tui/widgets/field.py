"""An input of one line: takes people's text literally, and hands on a pasted column."""

from __future__ import annotations

from dataclasses import dataclass

from textual import events
from textual.message import Message
from textual.widgets import Input

from tracker.records.text import clean_line


class Field(Input):
    """One line to type into; posts `ColumnPasted` where several lines are pasted."""

    @dataclass
    class ColumnPasted(Message):
        """Several lines were pasted at once."""

        field: Field
        lines: tuple[str, ...]

        @property
        def control(self) -> Field:
            """The field."""
            return self.field

    def __init__(self, value: str = "", *, placeholder: str = "", id: str | None = None) -> None:  # noqa: A002 (Textual's name)
        super().__init__(
            value, placeholder=clean_line(placeholder), id=id, compact=True, select_on_focus=False
        )

    def validate_value(self, value: str) -> str:
        """Keep what would steer a terminal out of the field."""
        return clean_line(value)

    def _on_paste(self, event: events.Paste) -> None:
        lines = tuple(clean_line(line.strip()) for line in event.text.splitlines() if line.strip())
        event.stop()
        event.prevent_default()
        if len(lines) > 1:
            self.post_message(self.ColumnPasted(self, lines))
        elif lines and self.selection.is_empty:
            self.insert_text_at_cursor(lines[0])
        elif lines:
            self.replace(lines[0], *self.selection)
