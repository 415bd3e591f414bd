"""The month: who gets a page and who does not, a page as text, and making them all."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from dataclasses import dataclass
from functools import partial
from typing import ClassVar

from textual import on
from textual.app import App, ComposeResult
from textual.binding import Binding, BindingType
from textual.message import Message

from tracker.errors import SlackwaterError
from tracker.output.sentences.numbers import count
from tracker.tui.context import Host
from tracker.tui.drawing.roster_rows import Column, Row
from tracker.tui.remedies import failure_words
from tracker.tui.screens.frame import Frame
from tracker.tui.screens.reading import ReadingScreen, Section
from tracker.tui.widgets.lines import TextLine
from tracker.tui.widgets.long_list import LongList

COLUMNS = (Column("swimmer", 17, 1), Column("group", 10, 1), Column("page", 30, 2))
BAR_CELLS = 24


@dataclass
class PageMade(Message):
    """One more page is done."""

    done: int
    of: int
    swimmer: str


class _LeftError(Exception):
    """The screens were left; nobody waits for the rest."""


class MonthScreen(Frame):
    """Starts with the month before the present one in its first week, else the present one."""

    NAME = "Month"
    HINTS = (
        ("Enter", "page as text"),
        ("m", "make all pages"),
        (", .", "other month"),
        ("?", "all keys"),
        ("Escape", "back"),
    )
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("m", "make", "make the pages of everybody listed", show=False, id="make-pages"),
        Binding("comma", "other(-1)", "the month before", show=False),
        Binding("full_stop", "other(1)", "the month after", show=False),
    ]

    def __init__(self, today: dt.date) -> None:
        super().__init__()
        self._month = (today - dt.timedelta(days=7)).replace(day=1)

    def subject(self) -> str:
        """Return the month."""
        from tracker.output.sentences.numbers import month_name

        marked = self.slackwater.marked
        return f"{month_name(self._month)}{f', {len(marked)} marked' if marked else ''}"

    def body(self) -> ComposeResult:
        """Yield the sentence and the list."""
        yield TextLine(id="sentence")
        yield LongList(COLUMNS, id="pages", empty="nobody on the roster yet")
        yield TextLine(id="progress", role="quiet")

    def on_mount(self) -> None:
        """Keys go to the list."""
        super().on_mount()
        self.query_one(LongList).focus()

    def swimmer(self) -> str:
        """Return the swimmer under the cursor."""
        return self.query_one(LongList).cursor_key or ""

    def reload(self) -> None:
        """Ask again who gets a page."""
        from tracker.app.pages import list_pages

        marked = self.slackwater.marked
        due = [one for one in list_pages(self.session) if not marked or one.swimmer in marked]
        rows = [
            Row(
                one.swimmer,
                (one.swimmer, one.group, one.why_not or "yes"),
                ("", "quiet", "bad" if one.why_not else ""),
            )
            for one in due
        ]
        self.query_one(LongList).show(rows)
        number = sum(not one.why_not for one in due)
        out = self.context.pages / f"{self._month:%Y-%m}"
        self.query_one("#sentence", TextLine).say(f"{number} of {len(due)} get a page; they go to {out}.")
        self.retitle()

    def action_other(self, by: int) -> None:
        """Show another month."""
        months = self._month.year * 12 + self._month.month - 1 + by
        other = dt.date(months // 12, months % 12 + 1, 1)
        if other <= self.slackwater.today():
            self._month = other
            self.reload()
        else:
            self.announce("That month has not begun.")

    @on(LongList.Chosen)
    def _chosen(self, message: LongList.Chosen) -> None:
        self.app.push_screen(PageTextScreen(message.key, self._month))

    def action_make(self) -> None:
        """Make them, in the background."""
        if self.slackwater.busy:
            self.announce("Pages are being made already.")
            return
        self.slackwater.busy = "pages are being made"
        self.announce("")
        self.app.run_worker(  # the app's, so that it goes on where this screen is left
            partial(self._make, self.app, self.slackwater, self._month, self.slackwater.marked),
            thread=True,
            exit_on_error=False,
        )

    def _make(self, app: App[object], host: Host, month: dt.date, marked: Sequence[str]) -> None:
        """Run in a thread, where a screen that was left knows its app no more."""
        from tracker.app.pages import make_pages

        out = host.context.pages / f"{month:%Y-%m}"
        try:
            made = make_pages(
                host.session, month, out=out, names=marked or None, progress=partial(self._progress, app)
            )
        except _LeftError:
            return
        except SlackwaterError as error:
            said = (failure_words(error), "bad")
        else:
            failed = "".join(f"; {name}: {why}" for name, why in (*made.failed, *made.boxed))
            pages = count(len(made.written), "page is", "pages are")
            said = (f"{pages} in {out}{failed}.", "bad" if failed else "good")
        app.call_later(self._done, host, *said)

    def _progress(self, app: App[object], done: int, of: int, swimmer: str) -> None:
        if not app.is_running:
            raise _LeftError
        self.post_message(PageMade(done, of, swimmer))

    def _done(self, host: Host, said: str, role: str) -> None:
        host.busy = ""
        for line in self.query("#progress").results(TextLine):
            line.say("")
        host.announce(said, role)

    def on_page_made(self, message: PageMade) -> None:
        """Show how far it is."""
        full = BAR_CELLS * message.done // max(1, message.of)
        bar = "█" * full + "░" * (BAR_CELLS - full)
        self.query_one("#progress", TextLine).say(f"{bar} {message.done} of {message.of}  {message.swimmer}")


class PageTextScreen(ReadingScreen):
    """A page as plain text."""

    NAME = "Page"

    def __init__(self, swimmer: str, month: dt.date) -> None:
        super().__init__()
        self._for, self._month = swimmer, month

    def subject(self) -> str:
        """Return whose page it is."""
        return f"{self._for}, {self._month:%Y-%m}"

    def sections(self) -> Sequence[Section]:
        """Make the page as text."""
        from tracker.app.pages import preview_page

        return [("", [preview_page(self.session, self._month, self._for)])]
