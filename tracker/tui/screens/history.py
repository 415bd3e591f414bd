"""What was changed, when and by whom; undo and redo."""

from __future__ import annotations

from textual.app import ComposeResult

from tracker.tui.drawing.table import Column, Row
from tracker.tui.screens.frame import Frame
from tracker.tui.widgets.long_list import LongList

MOST = 2000
COLUMNS = (Column("when", 16), Column("who", 10), Column("what", 30, 1), Column("state", 7))


class HistoryScreen(Frame):
    """Latest first; undo takes them back in this order."""

    NAME = "History"
    HINTS = (("u", "undo"), ("U", "redo"), ("?", "all keys"), ("Escape", "back"))

    def body(self) -> ComposeResult:
        """Yield the list."""
        yield LongList(COLUMNS, id="history", empty="nothing was changed yet")

    def on_mount(self) -> None:
        """Keys go to the list."""
        super().on_mount()
        self.query_one(LongList).focus()

    def reload(self) -> None:
        """Read the history again."""
        from tracker.usecases.list_history import list_history

        lines = list_history(self.desk.store, limit=MOST)
        rows = [
            Row(
                str(line.id),
                (f"{line.at.astimezone():%Y-%m-%d %H:%M}", line.who, line.what, line.state),
                ("quiet", "quiet", "", "" if line.state == "done" else "quiet"),
            )
            for line in lines
        ]
        self.query_one(LongList).show(rows)
