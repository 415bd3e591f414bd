"""The first screen of an empty database: the invented club to look at, or a first swimmer of one's own."""

from __future__ import annotations

from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Vertical

from tracker.tui.screens.frame import Frame
from tracker.tui.widgets.lines import TextLine

WORDS = """Nothing is on record here yet.

  a   add a first swimmer: yourself, or one of your squad
  i   import a folder or file of CSV
  k   look at an invented club of 24 swimmers first; it lives in a folder of its own,
      and nothing of yours is touched

Test swims are maximal efforts: swim them only when well and warmed up, with somebody
watching, and by the rules of your pool."""


class WelcomeScreen(Frame):
    """Shown over the roster while nobody is on it."""

    NAME = "Welcome"
    HINTS = (
        ("a", "first swimmer"),
        ("i", "import"),
        ("k", "invented club"),
        ("?", "all keys"),
        ("ctrl+q", "quit"),
    )
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("k", "club", "look at the invented club", show=False, id="demo"),
    ]

    def body(self) -> ComposeResult:
        """Yield the words."""
        with Vertical(id="welcome"):
            yield TextLine(WORDS)

    def reload(self) -> None:
        """Give way to the roster as soon as somebody is on it."""
        from tracker.usecases.roster_names import roster_names

        if roster_names(self.desk.store) and self.is_current:
            self.app.pop_screen()

    def on_screen_resume(self) -> None:
        """Look again after a form."""
        self.reload()

    def action_club(self) -> None:
        """Build the invented club and show it instead."""
        self.slackwater.show_invented_club()

    def action_back(self) -> None:
        """Show the empty roster."""
        self.app.pop_screen()
