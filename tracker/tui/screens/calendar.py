"""The dates ahead of everybody, one a row, the soonest first."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from textual import on, work
from textual.app import ComposeResult
from textual.message import Message

from tracker.errors import SlackwaterError
from tracker.output.sentences.due import date_reason
from tracker.output.sentences.numbers import capital, count
from tracker.tui.drawing.roster_rows import Column, Row
from tracker.tui.messages import WorkFailed
from tracker.tui.remedies import failure_words
from tracker.tui.screens.frame import Frame
from tracker.tui.widgets.lines import TextLine
from tracker.tui.widgets.long_list import LongList

if TYPE_CHECKING:
    import datetime as dt

    from tracker.app.dates_ahead import DatesAhead
    from tracker.technique.dates_ahead import DateAhead

COLUMNS = (Column("date", 10), Column("what", 4), Column("swimmer", 16, 1), Column("why then", 20, 2))


@dataclass
class DatesReady(Message):
    """The dates are there."""

    found: DatesAhead


class CalendarScreen(Frame):
    """One row a test, look or race."""

    NAME = "Dates ahead"
    HINTS = (
        ("Enter", "open"),
        ("t", "log a test"),
        ("r", "log a review"),
        ("?", "all keys"),
        ("Escape", "back"),
    )

    def __init__(self) -> None:
        super().__init__()
        self._dates: Sequence[DateAhead] = ()

    def body(self) -> ComposeResult:
        """Yield the sentence, the list, and why then of the date under the cursor, whole."""
        yield TextLine("Working it out …", id="sentence")
        yield LongList(COLUMNS, id="dates", empty="no date ahead; 'e' logs a race")
        yield TextLine(id="doubt", role="quiet")

    def on_mount(self) -> None:
        """Keys go to the list."""
        super().on_mount()
        self.query_one(LongList).focus()

    def swimmer(self) -> str:
        """Return the swimmer of the row under the cursor."""
        one = self._current()
        return one.swimmer if one else ""

    def reload(self) -> None:
        """Work the dates out in the background."""
        self._work()

    @work(thread=True, exit_on_error=False, exclusive=True, group="dates")
    def _work(self) -> None:
        from tracker.app.dates_ahead import list_dates

        try:
            found = list_dates(self.session)
        except SlackwaterError as error:
            self.post_message(WorkFailed(failure_words(error)))
        else:
            self.post_message(DatesReady(found))

    def on_dates_ready(self, message: DatesReady) -> None:
        """Show them."""
        self._dates = message.found.dates
        today = self.slackwater.today()
        now = sum(one.date <= today for one in self._dates)
        left = len(message.found.left_out)
        said = f"{count(len(self._dates), 'date')} ahead, {now} of them today or due."
        said += (
            f" {count(left, 'swimmer is', 'swimmers are')} left out for want of a consent." if left else ""
        )
        self.query_one("#sentence", TextLine).say(said)
        self.query_one(LongList).show([_row(index, one, today) for index, one in enumerate(self._dates)])

    def _current(self) -> DateAhead | None:
        key = self.query_one(LongList).cursor_key
        return self._dates[int(key)] if key is not None else None

    @on(LongList.Moved)
    def _moved(self) -> None:
        one = self._current()
        why = date_reason(one, self.slackwater.today()) if one else ""
        self.query_one("#doubt", TextLine).say(capital(f"{why}.") if why else "", "quiet")

    @on(LongList.Chosen)
    def _chosen(self) -> None:
        self.slackwater.open_swimmer(self.swimmer())


def _row(index: int, one: DateAhead, today: dt.date) -> Row:
    texts = (one.date.isoformat(), str(one.kind), one.swimmer, date_reason(one, today))
    return Row(str(index), texts, ("", "", "", "quiet"))
