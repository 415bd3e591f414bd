"""One swimmer: the verdict in a sentence, the linked fault, and the joint chart."""

from __future__ import annotations

from dataclasses import replace
from shlex import quote
from typing import ClassVar

from textual import on, work
from textual.app import ComposeResult
from textual.binding import Binding, BindingType

from tracker.app.explain import SwimmerView
from tracker.errors import SlackwaterError
from tracker.model.text import clean_line
from tracker.tui.drawing.picture import Picture, picture_of
from tracker.tui.drawing.roles import role_of
from tracker.tui.messages import SwimmerJudged, WorkFailed
from tracker.tui.remedies import failure_words
from tracker.tui.screens.frame import Frame
from tracker.tui.widgets.chart_view import ChartView
from tracker.tui.widgets.lines import TextLine

MOST_BEST = 3
"""Best times on the screen, those swum most often; `swims --best` has all."""


class SwimmerScreen(Frame):
    """The record of one swimmer over the months."""

    NAME = "Swimmer"
    HINTS = (
        ("y", "why"),
        ("← →", "test by test"),
        ("n", "next"),
        ("v", "swims"),
        ("?", "all keys"),
        ("Escape", "back"),
    )
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("y", "why", "why: reasons, rivals, tests set aside", show=False, id="why"),
        Binding("n", "next", "next: what to work on, when to test", show=False, id="next"),
        Binding("b", "strokes", "stroke rate, length or count beneath the pace", show=False, id="strokes"),
        Binding("v", "swims", "all swims: correct, delete, set aside", show=False, id="swims"),
        Binding("E", "edit", "change what is on record about the swimmer", show=False, id="edit-swimmer"),
        Binding(
            "X", "archive", "put the swimmer away, off the roster (asks)", show=False, id="archive-swimmer"
        ),
        Binding("space", "mark_seen", "mark the verdict as seen", show=False, id="mark-seen"),
    ]

    VERTICAL_BREAKPOINTS = [(0, "-low"), (30, "-high")]  # noqa: RUF012 - the library's type
    """On a low window what was so a month ago, the story and the best times stand in `why` and the list of
    swims alone: the chart needs its rows."""

    def __init__(self, name: str) -> None:
        super().__init__()
        self._label = name
        self._view: SwimmerView | None = None
        self._strokes = ""

    def swimmer(self) -> str:
        """Return the swimmer shown."""
        return self._label

    def subject(self) -> str:
        """Return the name, the group and the data behind the chart."""
        if self._view is None:
            return self._label
        from tracker.output.sentences.verdict import data_line

        group = f" ({self._view.swimmer.group})" if self._view.swimmer.group else ""
        return f"{self._label}{group}  {data_line(self._view.line.verdict, self.slackwater.today())}"

    def body(self) -> ComposeResult:
        """Yield the sentences, the chart and the line that reads a test."""
        yield TextLine("Working it out …", id="headline")
        yield TextLine(id="dates")
        yield TextLine(id="age")
        yield TextLine(id="link")
        yield TextLine(id="story")
        yield TextLine(id="best")
        yield ChartView(id="chart")
        yield TextLine(id="readout", role="quiet")

    def on_mount(self) -> None:
        """Work it out in the background; keys go to the chart."""
        super().on_mount()
        self.query_one(ChartView).focus()

    def reload(self) -> None:
        """Judge this swimmer again, in the background."""
        self._judge()

    @work(thread=True, exit_on_error=False, exclusive=True, group="swimmer")
    def _judge(self) -> None:
        from tracker.app.explain import why

        try:
            view = why(self.session, self._label)
        except SlackwaterError as error:
            self.post_message(WorkFailed(failure_words(error)))
        else:
            self.post_message(SwimmerJudged(view))

    def on_swimmer_judged(self, message: SwimmerJudged) -> None:
        """Show the verdict and the chart."""
        from tracker.app.best_times import best_of_swims
        from tracker.app.explain import for_now
        from tracker.app.faults import fault_names
        from tracker.output.sentences.age import age_line
        from tracker.output.sentences.best_times import best_line
        from tracker.output.sentences.disputes import dispute_line
        from tracker.output.sentences.link import link_sentence
        from tracker.output.sentences.story import story_sentence
        from tracker.output.sentences.two_dates import two_dates
        from tracker.output.sentences.verdict import line_headline, mark

        view = self._view = message.view
        today = self.slackwater.today()
        names = fault_names(self.session)
        verdict = view.line.verdict
        said = f"{mark(verdict)} {line_headline(view.line)}"
        self.query_one("#headline", TextLine).say(said, role_of(view.line.word))
        dates = two_dates(verdict, today)
        self.query_one("#dates", TextLine).set_class(not dates, "-none").say(dates)
        link = (
            link_sentence(view.line.link, names, today, look_due=view.line.due.look_due(today))
            if view.line.link
            else " ".join(for_now(self.session, view))
        )
        standing = [one for one in view.disputes if one.stands]
        link = " ".join([link, *(dispute_line(one, names, today) for one in standing)])
        for place, said in (("#age", age_line(view.line.age)), ("#link", link)):
            line = self.query_one(place, TextLine)
            line.display = bool(said)
            line.say(said)
        best = best_of_swims(self._label, view.counted, today, self.session.settings).best
        story = story_sentence(view.line.story, names, today)
        for place, said in (("#story", story), ("#best", best_line(best, MOST_BEST))):
            self.query_one(place, TextLine).set_class(not said, "-none").say(said)
        self.query_one(ChartView).show(self._picture(view))
        self._read(None)
        self.retitle()

    @on(ChartView.CursorMoved)
    def _cursor_moved(self, message: ChartView.CursorMoved) -> None:
        self._read(message.index)

    def _read(self, index: int | None) -> None:
        """Say what a test was, which faults were uncorrected and what was in use on its day."""
        from tracker.tui.drawing.fault_lanes import readout

        text = "" if self._view is None or index is None else readout(self._view, index)
        self.query_one("#readout", TextLine).say(
            clean_line(text) or "← → read a test; z Z zoom; , . pan; 0 all", "quiet"
        )

    def action_why(self) -> None:
        """Show what the verdict rests on."""
        from tracker.tui.screens.reading import WhyScreen

        self.app.push_screen(WhyScreen(self._label))

    def action_strokes(self) -> None:
        """Show rate, length, count, then none of them."""
        from tracker.tui.drawing.panes import KINDS

        kinds = ("", *KINDS)
        self._strokes = kinds[(kinds.index(self._strokes) + 1) % len(kinds)]
        if self._view is not None:
            self.query_one(ChartView).show(self._picture(self._view), same_view=True)

    def _picture(self, view: SwimmerView) -> Picture:
        from tracker.tui.drawing.panes import stroke_series

        today = self.slackwater.today()
        picture = picture_of(view, today)
        if not self._strokes:
            return picture
        return replace(picture, strokes=stroke_series(self._strokes, view.counted))

    def action_next(self) -> None:
        """Show what to work on next."""
        from tracker.tui.screens.next_step import NextScreen

        self.app.push_screen(NextScreen(self._label))

    def action_swims(self) -> None:
        """List the swims."""
        from tracker.tui.screens.swims import SwimsScreen

        self.app.push_screen(SwimsScreen(self._label))

    def action_edit(self) -> None:
        """Change label, group, year of birth, target or note."""
        from tracker.tui.screens.add import EditSwimmerScreen

        if self._view is not None:
            self.app.push_screen(EditSwimmerScreen(self._view.swimmer))

    def action_archive(self) -> None:
        """Ask, then archive the swimmer."""
        from tracker.tui.screens.confirm import ConfirmScreen

        question = (
            f"Put {self._label} away? They leave the roster; everything on record is kept. To erase it for "
            f"good there is a command: slackwater swimmer erase {quote(self._label)}"
        )
        self.app.push_screen(ConfirmScreen(question), self._archive)

    def _archive(self, yes: bool | None) -> None:  # noqa: FBT001 (the library's call)
        from tracker.app.swimmers import archive_swimmer

        if not yes:
            self.announce("Nothing was changed.")
            return
        done = self.slackwater.change(
            lambda: archive_swimmer(self.session, self._label, back=False),
            "",
        )
        if done:
            self.app.pop_screen()
            self.slackwater.announce(f"Put away: {self._label}; 'u' takes them back.", "good")

    def action_mark_seen(self) -> None:
        """Note that this verdict was seen."""
        from tracker.app.told import mark_seen

        if self._view is None:
            return
        line = self._view.line
        self.slackwater.change(
            lambda: mark_seen(self.session, line),
            f"Marked as seen: {self._label}, {line.word}.",
        )
