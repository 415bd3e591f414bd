"""The roster: one sentence, then every swimmer with the verdict, most in need of a look first."""

from __future__ import annotations

from collections.abc import Sequence
from typing import ClassVar

from textual import events, on, work
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.widgets import Input

from tracker.errors import SlackwaterError
from tracker.pipeline import RosterLine
from tracker.records.text import name_key
from tracker.tui.drawing.roster_rows import WIDE, columns, row, waiting_rows
from tracker.tui.drawing.table import Row
from tracker.tui.messages import RosterJudged, WorkFailed
from tracker.tui.screens.frame import Frame
from tracker.tui.widgets.field import Field
from tracker.tui.widgets.lines import TextLine
from tracker.tui.widgets.long_list import LongList

ALL = ""


class RosterScreen(Frame):
    """The first screen."""

    NAME = "Roster"
    HINTS = (
        ("Enter", "open"),
        ("/", "filter"),
        ("t", "log a test"),
        ("r", "log a review"),
        ("?", "all keys"),
        ("ctrl+q", "quit"),
    )
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("slash", "filter", "filter by name, group or verdict", show=False, id="filter"),
        Binding("p", "next_group", "show the next group only", show=False, id="next-group"),
        Binding("space", "mark_seen", "mark the verdict as seen", show=False, id="mark-seen"),
    ]

    def __init__(self) -> None:
        super().__init__()
        self._lines: Sequence[RosterLine] = ()
        self._names: list[tuple[str, str]] = []
        self._group = ALL
        self._judging = False

    def body(self) -> ComposeResult:
        """Yield the sentence, the filter and the list."""
        yield TextLine(id="sentence")
        yield Field(id="filter", placeholder="name, group or verdict")
        yield LongList(columns(80), id="roster", empty="nobody here; 'a' adds a swimmer")

    def on_mount(self) -> None:
        """Show the names at once; the verdicts follow."""
        self.query_one("#filter").display = False
        super().on_mount()
        self.query_one(LongList).focus()

    def subject(self) -> str:
        """Return the group shown."""
        shown = len(self.query_one(LongList).rows) if self.is_mounted else 0
        return f"{self._group or 'everybody'}, {shown}"

    def reload(self) -> None:
        """Read the names now and judge in the background."""
        from tracker.usecases.list_swimmers import list_swimmers

        self._names = [(who.swimmer, who.group) for who in list_swimmers(self.desk.store)]
        self._show()
        if self._names:
            self._judging = True
            self._judge()
        else:
            self._lines = ()
        self._sentence()

    @work(thread=True, exclusive=True, group="roster")
    def _judge(self) -> None:
        from tracker.usecases.scan import scan

        try:
            lines = scan(self.desk.store, as_of=self.slackwater.today(), settings=self.desk.settings)
        except SlackwaterError as error:
            self.post_message(WorkFailed(str(error)))
        else:
            self.post_message(RosterJudged(lines))

    def on_roster_judged(self, message: RosterJudged) -> None:
        """Show the verdicts."""
        self._lines, self._judging = message.lines, False
        self._show()
        self._sentence()

    def _sentence(self) -> None:
        from tracker.output.roster_words import roster_sentence

        waiting = self._judging and not self._lines
        text = f"Working out {len(self._names)} verdicts …" if waiting else roster_sentence(self._lines)
        self.query_one("#sentence", TextLine).say(text)

    def _show(self) -> None:
        wide = self.size.width >= WIDE
        today = self.slackwater.today()
        known = {name for name, _ in self._names}
        typed = name_key(self.query_one("#filter", Input).value)
        rows: list[Row] = [
            row(line, today, wide=wide)
            for line in self._lines
            if line.swimmer in known and self._wanted(line.swimmer, line.group, line, typed)
        ]
        judged = {line.swimmer for line in self._lines}
        left = [(name, group) for name, group in self._names if name not in judged]
        rows += waiting_rows(
            [(name, group) for name, group in left if self._wanted(name, group, None, typed)], wide=wide
        )
        empty = (
            "nobody fits the filter; Escape clears it" if self._names else "nobody here; 'a' adds a swimmer"
        )
        self.query_one(LongList).show(rows, columns(self.size.width), empty)
        self.retitle()

    def _wanted(self, name: str, group: str, line: RosterLine | None, typed: str) -> bool:
        if self._group and group != self._group:
            return False
        if not typed:
            return True
        word = line.verdict.verdict if line is not None and line.verdict is not None else ""
        return typed in name_key(f"{name} {group} {word}")

    def on_resize(self) -> None:
        """Choose the columns anew."""
        super().on_resize()
        self._show()

    def action_filter(self) -> None:
        """Show the filter and type into it."""
        field = self.query_one("#filter", Input)
        field.display = True
        field.focus()

    @on(Input.Changed, "#filter")
    def _filtered(self) -> None:
        self._show()

    @on(Input.Submitted, "#filter")
    def _filter_kept(self) -> None:
        self.query_one(LongList).focus()

    def on_key(self, event: events.Key) -> None:
        """Go from the filter into the list with the down key."""
        if event.key == "down" and self.query_one("#filter").has_focus:
            event.stop()
            self.query_one(LongList).focus()

    def action_back(self) -> None:
        """Clear the filter, then the group; on the bare roster say how to leave."""
        field = self.query_one("#filter", Input)
        if field.display:
            field.value = ""
            field.display = False
            self.query_one(LongList).focus()
        elif self._group:
            self._group = ALL
            self._show()
        else:
            super().action_back()

    def action_next_group(self) -> None:
        """Show one group after the other, then everybody."""
        groups = [ALL, *sorted({group for _, group in self._names if group})]
        self._group = groups[(groups.index(self._group) + 1) % len(groups)] if self._group in groups else ALL
        self._show()

    def action_mark_seen(self) -> None:
        """Note that the verdict under the cursor was seen."""
        from tracker.usecases.mark_seen import mark_seen

        line = next((line for line in self._lines if line.swimmer == self.swimmer()), None)
        if line is None or line.verdict is None:
            self.news("There is no verdict to mark as seen here.")
            return
        self.slackwater.change(
            lambda: mark_seen(
                self.desk.store,
                line.swimmer,
                line.verdict.verdict if line.verdict else "",
                as_of=self.slackwater.today(),
                who=self.desk.who,
                at=self.slackwater.now(),
            ),
            f"Marked as seen: {line.swimmer}.",
        )

    def swimmer(self) -> str | None:
        """Return the swimmer under the cursor."""
        return self.query_one(LongList).cursor_key

    @on(LongList.Chosen)
    def _chosen(self, message: LongList.Chosen) -> None:
        self.slackwater.open_swimmer(message.key)
