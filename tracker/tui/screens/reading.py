"""A screen to read: titled groups of sentences that scroll; slow ones are worked out in the background."""

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
from tracker.records.text import clean_line, clean_note
from tracker.tui.messages import WorkFailed
from tracker.tui.screens.frame import Frame

Section = tuple[str, Sequence[str]]


@dataclass
class SectionsReady(Message):
    """What is to be read is there."""

    sections: Sequence[Section]


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
        try:
            for sections in self.stages():
                self.post_message(SectionsReady(sections))
        except SlackwaterError as error:
            self.post_message(WorkFailed(str(error)))

    def on_sections_ready(self, message: SectionsReady) -> None:
        """Show it."""
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
