"""The roster: one sentence, then every swimmer with the verdict, most in need of a look first."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import replace
from operator import attrgetter
from typing import ClassVar

from textual import events, on, work
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.widgets import Input
from textual.worker import get_current_worker

from tracker.app.render_roster import scan_cache
from tracker.errors import SlackwaterError
from tracker.model.text import fits
from tracker.technique.monday import MondayLine, monday_lines
from tracker.tui.drawing.roster_rows import WIDE, RosterRow, Row, columns, roster_row, waiting_row
from tracker.tui.messages import RosterJudged, StoreChecked, WorkFailed
from tracker.tui.remedies import failure_words
from tracker.tui.screens.frame import Frame
from tracker.tui.widgets.form_sheet import Field
from tracker.tui.widgets.lines import TextLine
from tracker.tui.widgets.long_list import LongList

ALL = ""
MARKED = "+"
"""Stands before the name of who is marked."""
EMPTY = "nobody here; 'a' adds a swimmer"
FILTERED = "nobody fits the filter; Escape clears it"


class RosterScreen(Frame):
    """The first screen."""

    NAME = "Roster"
    AUTO_FOCUS = "LongList"  # what is typed before the screen is up is not for the filter, hidden still
    HINTS = (
        ("Enter", "open"),
        ("/", "filter"),
        ("Space", "mark"),
        ("M", "needs you"),
        ("?", "all keys"),
        ("ctrl+q", "quit"),
    )
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("slash", "filter", "filter by name, group or verdict", show=False, id="filter"),
        Binding("p", "next_group", "show the next group only", show=False, id="next-group"),
        Binding("space", "mark", "mark this swimmer, or not any more", show=False, id="mark"),
        Binding("S", "mark_seen", "mark as seen, all who are marked", show=False, id="mark-seen"),
        Binding("A", "leave", "leave alone until a date, all who are marked", show=False, id="leave"),
        Binding("x", "export", "export people, all who are marked", show=False, id="export-people"),
    ]

    def __init__(self) -> None:
        super().__init__()
        self._names: list[tuple[str, str]] = []
        self._rows: dict[str, RosterRow] = {}
        self._group = ALL
        self._left = 0
        self._judged: dict[str, tuple[str, RosterRow]] = {}
        self._checked = ""

    def body(self) -> ComposeResult:
        """Yield what is wrong with the database, the sentence, the filter and the list."""
        yield TextLine(id="trouble", role="bad")
        yield TextLine(id="sentence")
        yield Field(id="filter", placeholder="name, group or verdict")
        yield LongList(columns(80), id="roster", empty=EMPTY)

    def on_mount(self) -> None:
        """Show the names at once; the verdicts follow."""
        self.query_one("#trouble").display = False
        self.query_one("#filter").display = False
        super().on_mount()
        self.query_one(LongList).focus()

    def subject(self) -> str:
        """Return the group shown."""
        shown = len(self.query_one(LongList).rows) if self.is_mounted else 0
        return f"{self._group or 'everybody'}, {shown}"

    def reload(self) -> None:
        """Read the names now; show cached rows at once, work out the others in the background."""
        from tracker.app.swimmers import roster_names

        self._names = roster_names(self.session)
        if not self._rows:
            self._rows = {name: row for name, (_, row) in self._load_kept().items()}
        there = {name for name, _ in self._names}
        self._mark([name for name in self.slackwater.marked if name in there])
        self._left = sum(name not in self._rows for name, _ in self._names)
        self._show()
        self._judge()
        if self._checked != self.session.store.address:
            self._checked = self.session.store.address
            self._check()

    @work(thread=True, exit_on_error=False, exclusive=True, group="check")
    def _check(self) -> None:
        """Look the database over, beside the screens: the list need not wait for it."""
        from tracker.app.check import check_at_start
        from tracker.output.sentences.data import trouble_sentence

        context, store = self.context, self.session.store
        found = check_at_start(self.session)
        trouble = trouble_sentence([one.where for one in found], context.check)
        self.post_message(StoreChecked(store.address, trouble))

    def on_store_checked(self, message: StoreChecked) -> None:
        """Say what is wrong with the database, for as long as the screens are open."""
        if message.address != self.session.store.address:
            return  # another one is shown by now
        line = self.query_one("#trouble", TextLine)
        line.say(message.trouble, "bad")
        line.display = bool(message.trouble)

    def _load_kept(self) -> dict[str, tuple[str, RosterRow]]:
        """Return what each row rests on, and the row, as they were last shown."""
        if self.context.cache is None:
            return {}
        rows = scan_cache(self.context.cache, self.session).load("screen")
        return {name: (rests_on, RosterRow.unpacked(text)) for name, rests_on, text in rows}

    def _keep(self, rows: Mapping[str, tuple[str, RosterRow]]) -> None:
        if self.context.cache is not None:
            kept = scan_cache(self.context.cache, self.session)
            kept.add("screen", ((name, rests_on, row.packed()) for name, (rests_on, row) in rows.items()))
            kept.prune("screen", {name: rests_on for name, (rests_on, _) in rows.items()})

    @work(thread=True, exit_on_error=False, exclusive=True, group="roster")
    def _judge(self) -> None:
        """Work out the rows whose grounds have changed, part by part."""
        from tracker.app.scan import roster_fingerprints, scan_in_parts

        worker = get_current_worker()
        session = self.session
        try:
            fingerprints = roster_fingerprints(session)
            known = self._judged or self._load_kept()
            rows = {name: one for name, one in known.items() if fingerprints.get(name) == one[0]}
            todo = fingerprints.keys() - rows.keys()
            self.post_message(RosterJudged({name: row for name, (_, row) in rows.items()}, 0, len(todo)))
            if todo:
                for part in scan_in_parts(session, names=todo):
                    if worker.is_cancelled:
                        return
                    fresh = {line.swimmer: roster_row(line, session.today) for line in part.lines}
                    rows |= {name: (fingerprints[name], row) for name, row in fresh.items()}
                    self.post_message(RosterJudged(fresh, part.done, part.of))
                self._keep(rows)
            self._judged = rows
        except SlackwaterError as error:
            self.post_message(WorkFailed(failure_words(error)))

    def on_roster_judged(self, message: RosterJudged) -> None:
        """Show the verdicts that are there; the order is settled when all are."""
        self._rows.update(message.rows)
        self._left = message.of - message.done
        if self._left and message.done:
            self._fill_in()
        else:
            self._show()

    def _fill_in(self) -> None:
        """Put verdicts into the rows shown, which keep their order until all are there."""
        listed = self.query_one(LongList)
        wide = self.size.width >= WIDE
        listed.show(
            [
                self._marked_row(self._rows[old.key], wide=wide) if old.key in self._rows else old
                for old in listed.rows
            ]
        )
        self._sentence()

    def _sentence(self) -> None:
        from tracker.output.sentences.roster import RowSummary, summary_sentence

        known = [self._rows[name] for name, _ in self._names if name in self._rows]
        if self._left:
            text = f"Working out {self._left} of {len(self._names)} verdicts …"
        else:
            text = summary_sentence(Counter(RowSummary(row.word, row.new, row.grounds) for row in known))
        self.query_one("#sentence", TextLine).say(text)

    def needs(self) -> tuple[list[MondayLine], int]:
        """Return what needs somebody in those shown by group, and how many verdicts are not there yet."""
        known = [self._rows[name] for name, _ in self._names if name in self._rows]
        lines = [
            line
            for row in known
            if self._group in {ALL, row.group}
            for line in monday_lines(row.swimmer, row.rank, row.word, row.grounds, new=row.new)
        ]
        return sorted(lines, key=attrgetter("place")), self._left

    def _show(self) -> None:
        wide = self.size.width >= WIDE
        typed = self.query_one("#filter", Input).value
        rows = [self._rows.get(name) or waiting_row(name, group) for name, group in self._names]
        wanted = [row for row in rows if self._wanted(row, typed)]
        wanted.sort(key=lambda row: (row.rank, row.swimmer))
        empty = FILTERED if self._names else "nobody here; 'a' adds a swimmer"
        shown = [self._marked_row(row, wide=wide) for row in wanted]
        self.query_one(LongList).show(shown, columns(self.size.width), empty)
        self._sentence()
        self.retitle()
        for screen in self.app.screen_stack:
            if isinstance(screen, Frame) and screen.FOLLOWS_ROSTER and screen.is_mounted:
                screen.reload()

    def _wanted(self, row: RosterRow, typed: str) -> bool:
        if self._group and row.group != self._group:
            return False
        return fits(typed, f"{row.swimmer} {row.group} {row.word}")

    def on_resize(self) -> None:
        """Choose the columns."""
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
        """Clear the filter, the marks, then the group; on the bare roster say how to leave."""
        field = self.query_one("#filter", Input)
        if field.display:
            field.value = ""
            field.display = False
            self.query_one(LongList).focus()
        elif self.slackwater.marked:
            self._mark([])
            self._show()
            self.announce("Nobody is marked any more.")
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

    def _mark(self, names: Sequence[str]) -> None:
        self.slackwater.marked = tuple(names)

    def _marked_row(self, row: RosterRow, *, wide: bool) -> Row:
        made = row.row(wide=wide)
        marked = row.swimmer in self.slackwater.marked
        return replace(made, texts=(MARKED, *made.texts[1:])) if marked else made

    def _whom(self) -> tuple[str, ...]:
        """Return the marked, those shown first; where nobody is, who is under the cursor."""
        marked, listed = self.slackwater.marked, self.query_one(LongList)
        if not marked:
            return (listed.cursor_key,) if listed.cursor_key else ()
        shown = [row.key for row in listed.rows if row.key in marked]
        return (*shown, *(name for name in marked if name not in shown))

    def action_mark(self) -> None:
        """Mark the swimmer under the cursor, or take the mark away; go on to the next row."""
        from tracker.output.sentences.roster import marked_words

        listed = self.query_one(LongList)
        name, marked = listed.cursor_key, self.slackwater.marked
        if name is None:
            return
        self._mark([one for one in marked if one != name] if name in marked else [*marked, name])
        self._show()
        listed.action_move(1)
        self.announce(marked_words(self._whom() if self.slackwater.marked else ()))

    def action_mark_seen(self) -> None:
        """Note that the verdicts of the marked, or the one under the cursor, were seen."""
        from tracker.app.told import mark_several_seen

        seen = [name for name in self._whom() if name in self._rows and self._rows[name].word]
        if not seen:
            self.announce("There is no verdict to mark as seen here.")
            return
        self.slackwater.change(
            lambda: mark_several_seen(self.session, seen), f"Marked as seen: {', '.join(seen)}."
        )

    def action_leave(self) -> None:
        """Leave the marked, or the one under the cursor, alone until a date."""
        from tracker.tui.screens.marked import LeaveScreen

        if whom := self._whom():
            self.app.push_screen(LeaveScreen(whom))

    def action_export(self) -> None:
        """Export the marked, or the one under the cursor."""
        from tracker.tui.screens.marked import ExportMarkedScreen

        if whom := self._whom():
            self.app.push_screen(ExportMarkedScreen(whom))

    def swimmer(self) -> str | None:
        """Return the swimmer under the cursor."""
        return self.query_one(LongList).cursor_key

    def go_to(self, name: str) -> None:
        """Put the cursor on a swimmer, where the filter shows them."""
        self.query_one(LongList).go_to(name)

    @on(LongList.Chosen)
    def _chosen(self, message: LongList.Chosen) -> None:
        listed = self.query_one(LongList)
        self.slackwater.open_swimmer(message.key, [row.key for row in listed.rows])
