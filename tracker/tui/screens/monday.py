"""What needs somebody: new verdicts and what fell due, each dealt with by one key."""

from __future__ import annotations

from collections.abc import Sequence
from typing import ClassVar

from textual import on
from textual.app import ComposeResult
from textual.binding import Binding, BindingType

from tracker.technique.monday import Matter, MondayLine
from tracker.tui.drawing.roster_rows import Column, Row
from tracker.tui.screens.frame import Frame
from tracker.tui.widgets.lines import TextLine
from tracker.tui.widgets.long_list import LongList

COLUMNS = (Column("swimmer", 17, 1), Column("what needs somebody", 46, 2), Column("S does", 12))
_FORM_OF = {Matter.FAULT: "fault-step", Matter.TEST: "log-test", Matter.LOOK: "log-review"}
"""The form in which a line is dealt with."""


class MondayScreen(Frame):
    """One row a matter, the most pressing swimmer first; rows leave when they are dealt with."""

    NAME = "What needs you"
    FOLLOWS_ROSTER = True
    HINTS = (
        ("S", "deal with it"),
        ("d", "put off"),
        ("A", "leave"),
        ("Enter", "open"),
        ("?", "all keys"),
        ("Escape", "back"),
    )
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("S", "accept", "deal with it: mark as seen, or log what is due", show=False, id="mark-seen"),
        Binding("d", "put_off", "put it off to a date", show=False, id="put-off"),
        Binding("A", "leave", "leave alone until a date", show=False, id="leave"),
    ]

    def __init__(self) -> None:
        super().__init__()
        self._lines: dict[str, MondayLine] = {}

    def body(self) -> ComposeResult:
        """Yield how much it is, and the lines."""
        yield TextLine(id="sentence")
        yield LongList(COLUMNS, id="monday", empty="nothing new, nothing due")

    def on_mount(self) -> None:
        """Keys go to the list."""
        super().on_mount()
        self.query_one(LongList).focus()

    def reload(self) -> None:
        """Show what the roster has worked out so far; it says so itself when there is more."""
        from tracker.tui.screens.roster import RosterScreen

        for screen in self.app.screen_stack:
            if isinstance(screen, RosterScreen):
                self.show_lines(*screen.needs())

    def show_lines(self, lines: Sequence[MondayLine], left: int) -> None:
        """Show these lines; `left` verdicts are not worked out yet."""
        from tracker.output.sentences.monday import accept_words, ground_words, needs_words

        self._lines = {line.key: line for line in lines}
        rows = [
            Row(
                line.key,
                (line.swimmer, ground_words(line.ground), accept_words(line.matter)),
                ("", "", "quiet"),
            )
            for line in lines
        ]
        said = needs_words(len(lines), len({line.swimmer for line in lines}))
        self.query_one("#sentence", TextLine).say(f"Working out {left} verdicts …" if left else said)
        self.query_one(LongList).show(rows)

    def swimmer(self) -> str:
        """Return the swimmer of the line under the cursor."""
        one = self._current()
        return one.swimmer if one else ""

    @on(LongList.Chosen)
    def _chosen(self) -> None:
        rows = self.query_one(LongList).rows
        self.slackwater.open_swimmer(self.swimmer(), [self._lines[row.key].swimmer for row in rows])

    def action_accept(self) -> None:
        """Mark a verdict as seen; open the form of what is due."""
        from tracker.app.told import mark_several_seen
        from tracker.tui.screens.navigation import screen_for

        line = self._current()
        if line is None:
            return
        if line.matter is Matter.VERDICT:
            self.slackwater.change(
                lambda: mark_several_seen(self.session, [line.swimmer]),
                f"Marked as seen: {line.swimmer}, {line.word}; 'u' takes it back.",
            )
            return
        form = _FORM_OF[line.matter]
        self.app.push_screen(screen_for(form, line.swimmer, self.slackwater.today()))

    def action_put_off(self) -> None:
        """Ask until when this test or look is put off; anything else waits with its swimmer."""
        line = self._current()
        if line is not None:
            self._leave(line, line.matter if line.matter in {Matter.TEST, Matter.LOOK} else "")

    def action_leave(self) -> None:
        """Ask until when this swimmer is left alone, and why."""
        line = self._current()
        if line is not None:
            self._leave(line, "")

    def _leave(self, line: MondayLine, what: str) -> None:
        from tracker.tui.screens.marked import LeaveScreen

        self.app.push_screen(LeaveScreen((line.swimmer,), begun={"what": what}))

    def _current(self) -> MondayLine | None:
        key = self.query_one(LongList).cursor_key
        return self._lines.get(key) if key is not None else None
