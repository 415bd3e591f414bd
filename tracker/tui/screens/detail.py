"""What the screens of one swimmer share: whose they are, and the way to the next one of the roster."""

from __future__ import annotations

from typing import ClassVar

from textual.binding import Binding, BindingType

from tracker.tui.screens.frame import Frame

NEIGHBOURS = ("J K", "next swimmer")
"""The keys in the line at the bottom."""


class DetailScreen(Frame):
    """Base of the screens that show one swimmer."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("J", "neighbour(1)", "next swimmer, in the roster's order", show=False, id="next-swimmer"),
        Binding(
            "K",
            "neighbour(-1)",
            "the swimmer before, in the roster's order",
            show=False,
            id="previous-swimmer",
        ),
    ]

    def __init__(self, swimmer: str) -> None:
        super().__init__()
        self._for = swimmer
        self._behind = False

    def swimmer(self) -> str:
        """Return the swimmer shown."""
        return self._for

    def subject(self) -> str:
        """Return the swimmer shown."""
        return self._for

    def turn_to(self, swimmer: str) -> None:
        """Show another swimmer; a screen behind another one works it out when it is in front again."""
        self._for = swimmer
        self.clear()
        self.retitle()
        self._behind = not self.is_current
        if self.is_current:
            self.reload()

    def clear(self) -> None:
        """Take away what is shown of the swimmer before."""

    def on_screen_resume(self) -> None:
        """Catch up with a swimmer who was turned to meanwhile."""
        if self._behind:
            self._behind = False
            self.reload()

    def action_neighbour(self, by: int) -> None:
        """Have the screens of this swimmer show the next one, or the one before; say who stands beside."""
        from tracker.app.swimmers import roster_names
        from tracker.output.sentences.roster import neighbour_words
        from tracker.tui.screens.roster import RosterScreen

        now = self._for
        there = {name for name, _ in roster_names(self.session)} | {now}
        order = [name for name in self.slackwater.order if name in there] or [now]
        at = order.index(now) if now in order else 0
        to = min(max(at + by, 0), len(order) - 1)
        if to != at:
            for screen in self.app.screen_stack:
                if isinstance(screen, DetailScreen) and screen.swimmer() == now:
                    screen.turn_to(order[to])
                elif isinstance(screen, RosterScreen):
                    screen.go_to(order[to])
        self.announce(neighbour_words(order, to, stays=to == at))
