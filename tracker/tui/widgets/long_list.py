"""A list of any length in columns: only the visible rows are ever made into cells.

A general table widget lays out every row before its first paint (0.4 s at 1,000 rows, measured);
this one keeps values and draws what is on screen.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import ClassVar

from rich.segment import Segment
from rich.style import Style
from textual import events
from textual.binding import Binding, BindingType
from textual.geometry import Region
from textual.message import Message
from textual.strip import Strip
from textual.widget import Widget

from tracker.engine.verdict.verdict import Word
from tracker.tui.drawing.cells import fitted
from tracker.tui.drawing.roles import role_of
from tracker.tui.drawing.roster_rows import Column, Row


class LongList(Widget, can_focus=True):
    """Rows under a header; posts `Moved` when the cursor moves and `Chosen` on Enter."""

    ROLES: ClassVar[tuple[str, ...]] = (
        *map(role_of, Word),
        "quiet",
        "bad",
        "good",
        "mark",
    )
    COMPONENT_CLASSES: ClassVar[set[str]] = {
        "list--header",
        "list--cursor",
        "list--cursor-blurred",
        *(f"list--{role}" for role in ROLES),
    }
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("down,j", "move(1)", "next row", show=False),
        Binding("up,k", "move(-1)", "previous row", show=False),
        Binding("pagedown,ctrl+f", "page(1)", "next page", show=False),
        Binding("pageup,ctrl+b", "page(-1)", "previous page", show=False),
        Binding("home,g", "jump(0)", "first row", show=False),
        Binding("end,G", "jump(-1)", "last row", show=False),
        Binding("enter", "choose", "open", show=False),
    ]

    @dataclass
    class Moved(Message):
        """The cursor stands on another row."""

        sender: LongList
        key: str

        @property
        def control(self) -> LongList:
            """The list."""
            return self.sender

    @dataclass
    class Chosen(Message):
        """Enter, or a second click, on a row."""

        sender: LongList
        key: str

        @property
        def control(self) -> LongList:
            """The list."""
            return self.sender

    def __init__(
        self,
        columns: Sequence[Column],
        *,
        empty: str = "nothing here",
        id: str | None = None,  # noqa: A002 (Textual's name)
    ) -> None:
        super().__init__(id=id)
        self._columns = tuple(columns)
        self._rows: Sequence[Row] = ()
        self._empty = empty
        self._cursor = 0
        self._top = 0
        self._steered = False

    @property
    def cursor_key(self) -> str | None:
        """What the row under the cursor stands for; None in an empty list."""
        return self._rows[self._cursor].key if self._rows else None

    @property
    def rows(self) -> Sequence[Row]:
        """All rows, in order."""
        return self._rows

    def show(
        self, rows: Sequence[Row], columns: Sequence[Column] | None = None, empty: str | None = None
    ) -> None:
        """Show other rows; the cursor stays on its key, or on top if nobody has moved it yet."""
        key = self.cursor_key
        self._rows = rows
        self._columns = tuple(columns) if columns is not None else self._columns
        self._empty = empty if empty is not None else self._empty
        at = next((index for index, row in enumerate(rows) if row.key == key), None)
        if not self._steered:
            at = 0
        self._cursor = min(self._cursor, max(0, len(rows) - 1)) if at is None else at
        self._keep_visible()
        self.refresh()
        if self.cursor_key is not None and self.cursor_key != key:
            self.post_message(self.Moved(self, self.cursor_key))

    def go_to(self, key: str) -> None:
        """Put the cursor on the row of this key, if there is one."""
        at = next((index for index, row in enumerate(self._rows) if row.key == key), None)
        if at is not None:
            self._go(at)

    def render_line(self, y: int) -> Strip:
        """Return the header (row 0) or a row."""
        width = self.size.width
        base = self.rich_style
        if y == 0:
            style = base + self.get_component_rich_style("list--header", partial=True)
            titles = [column.title for column in self._columns]
            return Strip([Segment(fitted(self._join(titles), width), style)], width)
        index = self._top + y - 1
        if not self._rows and y == 1:
            return Strip([Segment(fitted(f"  {self._empty}", width), base)], width)
        if index >= len(self._rows):
            return Strip.blank(width, base)
        return self._row_strip(self._rows[index], base, under_cursor=index == self._cursor)

    def on_resize(self) -> None:
        """Keep the cursor in view."""
        self._keep_visible()
        self.refresh()

    def action_move(self, by: int) -> None:
        """Move the cursor by rows."""
        self._go(self._cursor + by)

    def action_page(self, by: int) -> None:
        """Move the cursor by a screenful."""
        self._go(self._cursor + by * max(1, self._visible_rows - 1))

    def action_jump(self, to: int) -> None:
        """Move the cursor to the first or the last row."""
        self._go(0 if to == 0 else len(self._rows) - 1)

    def action_choose(self) -> None:
        """Open the row under the cursor."""
        if self.cursor_key is not None:
            self.post_message(self.Chosen(self, self.cursor_key))

    def on_mouse_scroll_down(self, event: events.MouseScrollDown) -> None:
        """Move three rows down."""
        event.stop()
        self._go(self._cursor + 3)

    def on_mouse_scroll_up(self, event: events.MouseScrollUp) -> None:
        """Move three rows up."""
        event.stop()
        self._go(self._cursor - 3)

    def on_click(self, event: events.Click) -> None:
        """Put the cursor on the row; on a row that has it, open."""
        index = self._top + event.y - 1
        if event.y > 0 and index < len(self._rows):
            if index == self._cursor:
                self.action_choose()
            else:
                self._go(index)

    def on_focus(self) -> None:
        """Show the cursor as active."""
        self.refresh()

    def on_blur(self) -> None:
        """Show the cursor as resting."""
        self.refresh()

    @property
    def _visible_rows(self) -> int:
        return max(1, self.size.height - 1)

    def _go(self, index: int) -> None:
        if not self._rows:
            return
        self._steered = True
        before, top = self._cursor, self._top
        self._cursor = min(max(index, 0), len(self._rows) - 1)
        self._keep_visible()
        if self._top != top:
            self.refresh()
        else:
            for row in {before, self._cursor}:
                self.refresh(Region(0, row - self._top + 1, self.size.width, 1))
        if self._cursor != before:
            self.post_message(self.Moved(self, self._rows[self._cursor].key))

    def _keep_visible(self) -> None:
        visible = self._visible_rows
        if not self._top <= self._cursor < self._top + visible:
            self._top = max(0, self._cursor - visible // 2)
        self._top = min(self._top, max(0, len(self._rows) - visible))

    def _widths(self) -> list[int]:
        spare = self.size.width - sum(column.width + 1 for column in self._columns) - 1
        shares = sum(column.grow for column in self._columns)
        widths = [
            column.width + (spare * column.grow // shares if shares and spare > 0 else 0)
            for column in self._columns
        ]
        return [max(0, width) for width in widths]

    def _join(self, texts: Sequence[str]) -> str:
        return " " + " ".join(fitted(text, width) for text, width in zip(texts, self._widths(), strict=True))

    def _row_strip(self, row: Row, base: Style, *, under_cursor: bool) -> Strip:
        width = self.size.width
        if under_cursor:
            name = "list--cursor" if self.has_focus else "list--cursor-blurred"
            style = base + self.get_component_rich_style(name, partial=True)
            return Strip([Segment(fitted("▸" + self._join(row.texts)[1:], width), style)], width)
        segments = [Segment(" ", base)]
        roles = row.roles or ("",) * len(row.texts)
        for text, role, cells in zip(row.texts, roles, self._widths(), strict=True):
            style = base + self.get_component_rich_style(f"list--{role}", partial=True) if role else base
            segments += [Segment(fitted(text, cells), style), Segment(" ", base)]
        return Strip(segments).simplify().adjust_cell_length(width, base)
