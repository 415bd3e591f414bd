"""The form: its fields and how they are walked.

One input moves from row to row and the rest is drawn: a form of twenty inputs takes more than
half a second to mount (measured), this takes none to speak of.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import ClassVar

from rich.segment import Segment
from textual import events, on
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.message import Message
from textual.strip import Strip
from textual.widget import Widget
from textual.widgets import Input

from tracker.model.text import clean_line
from tracker.tui.drawing.cells import fitted

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

    Its keys are the library's, without those for scrolling: up and down belong to the form it stands in.
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


LABEL_CELLS = 17
TEXT_CELLS = 30


@dataclass(frozen=True)
class FormField:
    """A field: its name, how it is called, and what helps to fill it."""

    name: str
    label: str
    hint: str = ""
    value: str = ""


class FormSheet(Widget):
    """Holds what is typed; posts `Edited` on every change and `Entered` on Enter in the last field."""

    COMPONENT_CLASSES: ClassVar[set[str]] = {"sheet--label", "sheet--text", "sheet--note", "sheet--problem"}
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("down,tab", "go(1)", "next field", show=False),
        Binding("up,shift+tab", "go(-1)", "previous field", show=False),
        Binding("pagedown", "go(10)", "ten fields on", show=False),
        Binding("pageup", "go(-10)", "ten fields back", show=False),
    ]

    class Edited(Message):
        """Something was typed."""

    class Entered(Message):
        """Enter was pressed in the last field."""

    class Moved(Message):
        """Another field is typed into."""

    @dataclass
    class Pasted(Message):
        """Several lines were pasted into a field."""

        name: str
        lines: tuple[str, ...]

    def __init__(
        self,
        fields: Sequence[FormField] = (),
        *,
        label_cells: int = LABEL_CELLS,
        text_cells: int = TEXT_CELLS,
        id: str | None = None,  # noqa: A002 (Textual's name)
    ) -> None:
        super().__init__(id=id)
        self._fields = tuple(fields)
        self._values = {field.name: field.value for field in fields}
        self._problems: Mapping[str, str] = {}
        self._label_cells, self._text_cells = label_cells, text_cells
        self._row = 0
        self._top = 0

    def compose(self) -> ComposeResult:
        """Yield the one input."""
        yield Field(id="typing")

    def on_mount(self) -> None:
        """Put the input into the first empty row."""
        self.go_to_first_empty()

    def go_to_first_empty(self) -> None:
        """Type into the first field that is empty."""
        empty = [row for row, field in enumerate(self._fields) if not self._values[field.name]]
        self._go(empty[0] if empty else 0)

    @property
    def values(self) -> dict[str, str]:
        """What is typed in the fields shown, without outer blanks."""
        return {field.name: self._values.get(field.name, "").strip() for field in self._fields}

    def label_of(self, name: str) -> str:
        """Return how a field is called on the screen; its name where it is not shown."""
        return next((field.label for field in self._fields if field.name == name), name)

    @property
    def at(self) -> str:
        """The name of the field typed into."""
        return self._fields[self._row].name if self._fields else ""

    @property
    def hint(self) -> str:
        """What helps to fill the field typed into, or what is wrong with it, in full."""
        return self._problems.get(self.at, "") or (self._fields[self._row].hint if self._fields else "")

    @property
    def problems(self) -> Mapping[str, str]:
        """What is wrong, by field."""
        return self._problems

    def focus_field(self) -> None:
        """Let keys go into the input."""
        self.query_one(Field).focus()

    def lay(self, fields: Sequence[FormField]) -> None:
        """Show other fields; what is typed in those of the same name stays."""
        if tuple(fields) == self._fields:
            return
        at = self.at
        for field in fields:
            self._values.setdefault(field.name, field.value)
        self._fields = tuple(fields)
        names = [field.name for field in fields]
        self._go(names.index(at) if at in names else min(self._row, len(names) - 1))

    def fill(self, values: Mapping[str, str]) -> None:
        """Put texts into fields."""
        self._values.update(values)
        self._load()
        self.refresh()
        self.post_message(self.Edited())

    def complain(self, problems: Mapping[str, str]) -> None:
        """Show what is wrong with which field, and nothing about the others."""
        if dict(problems) != dict(self._problems):
            self._problems = dict(problems)
            self.refresh()

    def go_to(self, name: str) -> None:
        """Type into this field."""
        for row, field in enumerate(self._fields):
            if field.name == name:
                self._go(row)

    def render_line(self, y: int) -> Strip:
        """Draw one row: the text of the row typed into is covered by the input."""
        width, base = self.size.width, self.rich_style
        row = self._top + y
        if row >= len(self._fields):
            return Strip.blank(width, base)
        field = self._fields[row]
        problem = self._problems.get(field.name, "")
        room = max(0, width - self._label_cells - self._text_cells - 2)
        label = self.get_component_rich_style("sheet--label")
        text = self.get_component_rich_style("sheet--text")
        note = self.get_component_rich_style("sheet--problem" if problem else "sheet--note")
        return Strip(
            [
                Segment(fitted(field.label, self._label_cells - 1) + " ", base + label),
                Segment(fitted(self._values.get(field.name, ""), self._text_cells), base + text),
                Segment("  ", base),
                Segment(fitted(problem or field.hint, room), base + note),
            ]
        ).adjust_cell_length(width, base)

    def action_go(self, by: int) -> None:
        """Go some fields on or back."""
        self._go(min(max(self._row + by, 0), len(self._fields) - 1))

    def on_resize(self) -> None:
        """Keep the input in view."""
        self._top = 0
        self._go(self._row)

    def on_click(self, event: events.Click) -> None:
        """Type into the field clicked on."""
        row = self._top + event.y
        if event.widget is self and row < len(self._fields):
            self._go(row)
            self.focus_field()

    @on(Input.Changed)
    def _changed(self, message: Input.Changed) -> None:
        message.stop()
        if self._fields and message.value != self._values.get(self.at, ""):
            self._values[self.at] = message.value
            self.post_message(self.Edited())

    @on(Input.Submitted)
    def _submitted(self, message: Input.Submitted) -> None:
        message.stop()
        if self._row == len(self._fields) - 1:
            self.post_message(self.Entered())
        else:
            self.action_go(1)

    @on(Field.ColumnPasted)
    def _pasted(self, message: Field.ColumnPasted) -> None:
        message.stop()
        self.post_message(self.Pasted(self.at, message.lines))

    def _go(self, row: int) -> None:
        self._row = max(0, row)
        height = max(1, self.size.height)
        self._top = min(max(self._top, self._row - height + 1), self._row)
        self._top = min(self._top, max(0, len(self._fields) - height))
        if self.is_mounted:
            field = self.query_one(Field)
            field.styles.width = self._text_cells
            field.styles.offset = (self._label_cells, self._row - self._top)
            self._load()
            self.post_message(self.Moved())
        self.refresh()

    def _load(self) -> None:
        if not self._fields:
            return
        field = self.query_one(Field)
        text = self._values.get(self.at, "")
        if field.value != text:
            with self.prevent(Input.Changed):
                field.value = text
        field.cursor_position = len(text)
