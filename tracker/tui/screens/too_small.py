"""What is shown, and all that is shown, in a window too small for the screens; keys do nothing then."""

from __future__ import annotations

from textual import events
from textual.app import ComposeResult
from textual.geometry import Size
from textual.screen import ModalScreen
from textual.widgets import Static

MIN_WIDTH, MIN_HEIGHT = 80, 22
"""80 x 24 less the two lines that a multiplexer may keep for itself."""


def is_too_small(width: int, height: int) -> bool:
    """Whether the screens do not fit."""
    return width < MIN_WIDTH or height < MIN_HEIGHT


class TooSmallScreen(ModalScreen[None]):
    """Says how large the window must be."""

    def compose(self) -> ComposeResult:
        """Yield the words."""
        yield Static(id="too-small", markup=False)

    def on_mount(self) -> None:
        """Say it."""
        self._say(self.app.size)

    def on_resize(self, event: events.Resize) -> None:
        """Say how large the window is now."""
        self._say(event.size)

    def _say(self, size: Size) -> None:
        width, height = size
        self.query_one(Static).update(
            f"too small: {width} x {height}; the screens need {MIN_WIDTH} x 24. ctrl+q quits."
        )
