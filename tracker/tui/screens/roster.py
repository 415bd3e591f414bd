"""The roster: one sentence, then every swimmer with the verdict, most in need of a look first."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping
from typing import ClassVar

from textual import events, on, work
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.widgets import Input
from textual.worker import get_current_worker

from tracker.app.render_roster import scan_cache
from tracker.errors import SlackwaterError
from tracker.model.text import name_key
from tracker.tui.drawing.roster_rows import WIDE, RosterRow, columns, roster_row, waiting_row
from tracker.tui.messages import RosterJudged, StoreChecked, WorkFailed
from tracker.tui.remedies import failure_words
from tracker.tui.screens.frame import Frame
from tracker.tui.widgets.form_sheet import Field
from tracker.tui.widgets.lines import TextLine
from tracker.tui.widgets.long_list import LongList

ALL = ""
EMPTY = "nobody here; 'a' adds a swimmer"
FILTERED = "nobody fits the filter; Escape clears it"


class RosterScreen(Frame):
    """The first screen."""

    NAME = "Roster"
    AUTO_FOCUS = "LongList"  # what is typed before the screen is up is not for the filter, hidden still
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
            [self._rows[old.key].row(wide=wide) if old.key in self._rows else old for old in listed.rows]
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

    def _show(self) -> None:
        wide = self.size.width >= WIDE
        typed = name_key(self.query_one("#filter", Input).value)
        rows = [self._rows.get(name) or waiting_row(name, group) for name, group in self._names]
        wanted = [row for row in rows if self._wanted(row, typed)]
        wanted.sort(key=lambda row: (row.rank, row.swimmer))
        empty = (
            "nobody fits the filter; Escape clears it" if self._names else "nobody here; 'a' adds a swimmer"
        )
        shown = [row.row(wide=wide) for row in wanted]
        self.query_one(LongList).show(shown, columns(self.size.width), empty)
        self._sentence()
        self.retitle()

    def _wanted(self, row: RosterRow, typed: str) -> bool:
        if self._group and row.group != self._group:
            return False
        return not typed or typed in name_key(f"{row.swimmer} {row.group} {row.word}")

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
        from tracker.app.explain import why
        from tracker.app.told import mark_seen

        name = self.swimmer()
        if name is None or name not in self._rows or not self._rows[name].word:
            self.announce("There is no verdict to mark as seen here.")
            return
        self.slackwater.change(
            lambda: mark_seen(self.session, why(self.session, name).line),
            f"Marked as seen: {name}.",
        )

    def swimmer(self) -> str | None:
        """Return the swimmer under the cursor."""
        return self.query_one(LongList).cursor_key

    @on(LongList.Chosen)
    def _chosen(self, message: LongList.Chosen) -> None:
        self.slackwater.open_swimmer(message.key)
