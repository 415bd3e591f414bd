"""Screens to read: why, effects, history."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import ClassVar

from rich.text import Text
from textual import work
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import VerticalScroll
from textual.message import Message
from textual.widgets import Static

from tracker.errors import SlackwaterError
from tracker.model.text import clean_line, clean_note
from tracker.tui.drawing.roster_rows import Column, Row
from tracker.tui.messages import WorkFailed
from tracker.tui.remedies import failure_words
from tracker.tui.screens.detail import NEIGHBOURS, DetailScreen
from tracker.tui.screens.frame import Frame
from tracker.tui.widgets.long_list import LongList

Section = tuple[str, Sequence[str]]


@dataclass
class SectionsReady(Message):
    """What is to be read is there."""

    sections: Sequence[Section]
    subject: str = ""


class ReadingScreen(Frame):
    """Base of the screens that are only read."""

    HINTS: ClassVar[tuple[tuple[str, str], ...]] = (
        ("↓ j", "down"),
        ("↑ k", "up"),
        ("?", "all keys"),
        ("Escape", "back"),
    )
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("down,j", "scroll(1)", "down", show=False),
        Binding("up,k", "scroll(-1)", "up", show=False),
        Binding("pagedown,ctrl+f", "scroll(15)", "a page down", show=False),
        Binding("pageup,ctrl+b", "scroll(-15)", "a page up", show=False),
        Binding("home,g", "ends(0)", "to the beginning", show=False),
        Binding("end,G", "ends(1)", "to the end", show=False),
    ]

    def sections(self) -> Sequence[Section]:
        """Ask the use-cases; runs in a thread and touches no widget."""
        raise NotImplementedError

    def stages(self) -> Iterator[Sequence[Section]]:
        """Yield what is to be read, sooner in part than late as a whole."""
        yield self.sections()

    def body(self) -> ComposeResult:
        """Yield the text."""
        with VerticalScroll(id="reading", can_focus=False):
            yield Static("Working it out …", id="sections", markup=False)

    def reload(self) -> None:
        """Work it out in the background."""
        self._work()

    @work(thread=True, exit_on_error=False, exclusive=True, group="reading")
    def _work(self) -> None:
        subject = self.subject()
        try:
            for sections in self.stages():
                self.post_message(SectionsReady(sections, subject))
        except SlackwaterError as error:
            self.post_message(WorkFailed(failure_words(error)))

    def on_sections_ready(self, message: SectionsReady) -> None:
        """Show it, unless it is of another subject by now."""
        if message.subject != self.subject():
            return
        text = Text()
        for title, sentences in message.sections:
            if title:
                text.append(f"{clean_line(title)}\n", "bold")
            text.append("".join(f"{clean_note(words)}\n" for words in sentences) + "\n")
        self.query_one("#sections", Static).update(text)

    def action_scroll(self, by: int) -> None:
        """Move through the text."""
        self.query_one("#reading", VerticalScroll).scroll_relative(y=by, animate=False)

    def action_ends(self, end: int) -> None:
        """Go to the beginning or the end."""
        area = self.query_one("#reading", VerticalScroll)
        area.scroll_to(y=end * area.max_scroll_y, animate=False)


class ReadingOfOne(DetailScreen, ReadingScreen):
    """Base of those about one swimmer."""

    HINTS = (*ReadingScreen.HINTS[:2], NEIGHBOURS, *ReadingScreen.HINTS[2:])

    def clear(self) -> None:
        """Take away what is shown of the swimmer before."""
        self.query_one("#sections", Static).update("Working it out …")
        self.action_ends(0)


class WhyScreen(ReadingOfOne):
    """The evidence of one swimmer."""

    NAME = "Why"

    def stages(self) -> Iterator[Sequence[Section]]:
        """Yield the reasons at once, then the closer look too: other priors, second opinions, rhythms."""
        from tracker.app.explain import explain_in_stages

        return explain_in_stages(self.session, self._for)


class EffectsScreen(ReadingScreen):
    """All kinds of change, then those by fault side by side."""

    NAME = "Did it help"

    def sections(self) -> Sequence[Section]:
        """Return a line a kind of change, and how it was compared."""
        from tracker.app.explain import estimate_effects
        from tracker.app.faults import fault_names
        from tracker.output.sentences.effects import HOW_COMPARED, effect_line, shrunk_lines

        found = estimate_effects(self.session)
        names = fault_names(self.session)
        lines = [effect_line(effect, names) for effect in found.all]
        sections: list[Section] = [("", lines or ["No correction, cue or drill is on record yet."])]
        side_by_side = list(shrunk_lines(found.side_by_side, names))
        if side_by_side:
            sections.append(("By fault, drawn towards none", side_by_side))
        return [*sections, ("How it was compared", [HOW_COMPARED])]


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
        from tracker.app.history import list_history

        lines = list_history(self.session, limit=MOST)
        rows = [
            Row(
                str(line.id),
                (f"{line.at.astimezone():%Y-%m-%d %H:%M}", line.who, line.what, line.state),
                ("quiet", "quiet", "", "" if line.state == "done" else "quiet"),
            )
            for line in lines
        ]
        self.query_one(LongList).show(rows)
