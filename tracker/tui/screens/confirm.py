"""A question before something is lost; yes has a key of its own, every other key means no."""

from __future__ import annotations

from typing import ClassVar

from textual import events
from textual.app import ComposeResult
from textual.binding import BindingType
from textual.containers import Vertical
from textual.screen import ModalScreen

from tracker.tui.widgets.lines import KeyLine, TextLine


class ConfirmScreen(ModalScreen[bool]):
    """Returns True only after the key for yes, which is never the key that brought the question up."""

    YES = "y"
    BINDINGS: ClassVar[list[BindingType]] = []

    def __init__(self, question: str) -> None:
        super().__init__()
        self._question = question

    def compose(self) -> ComposeResult:
        """Yield the question and its two answers."""
        with Vertical(id="question"):
            yield TextLine(self._question)
            yield KeyLine(((self.YES, "yes"), ("any other key", "no, leave it")))

    def on_key(self, event: events.Key) -> None:
        """Answer."""
        event.stop()
        event.prevent_default()
        self.dismiss(event.key == self.YES)
