"""An input of one line: takes people's text literally, and hands on a pasted column."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from textual import events
from textual.binding import Binding, BindingType
from textual.message import Message
from textual.widgets import Input

from tracker.records.text import clean_line

_EDITING = (
    ("left", "cursor_left", "a letter to the left"),
    ("right", "cursor_right", "a letter to the right"),
    ("ctrl+left", "cursor_left_word", "a word to the left"),
    ("ctrl+right", "cursor_right_word", "a word to the right"),
    ("home,ctrl+a", "home", "to the beginning of the line"),
    ("end,ctrl+e", "end", "to the end of the line"),
    ("shift+left", "cursor_left(True)", "mark a letter to the left"),
    ("shift+right", "cursor_right(True)", "mark a letter to the right"),
    ("ctrl+shift+left", "cursor_left_word(True)", "mark a word to the left"),
    ("ctrl+shift+right", "cursor_right_word(True)", "mark a word to the right"),
    ("shift+home", "home(True)", "mark as far as the beginning"),
    ("shift+end", "end(True)", "mark as far as the end"),
    ("ctrl+shift+a", "select_all", "mark all"),
    ("backspace", "delete_left", "delete the letter before"),
    ("delete,ctrl+d", "delete_right", "delete the letter after"),
    ("ctrl+w", "delete_left_word", "delete the word before"),
    ("ctrl+backspace", "delete_right_word", "delete the word after"),
    ("ctrl+u", "delete_left_all", "delete as far as the beginning"),
    ("ctrl+k", "delete_right_all", "delete as far as the end"),
    ("ctrl+x", "cut", "cut what is marked"),
    ("ctrl+c,super+c", "copy", "copy what is marked"),
    ("ctrl+v", "paste", "put in what was cut or copied"),
    ("enter,ctrl+j", "submit", "on, to the next"),
)


class Field(Input, inherit_bindings=False):
    """One line to type into; posts `ColumnPasted` where several lines are pasted.

    Its keys are the library's, without those for scrolling: up and down belong to whom it stands in.
    """

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding(keys, action, does, show=False) for keys, action, does in _EDITING
    ]

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
