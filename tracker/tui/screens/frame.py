"""The frame of every screen, and what stands in a window that is too small."""

from __future__ import annotations

from typing import ClassVar, cast

from textual import events
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.geometry import Size
from textual.screen import ModalScreen, Screen
from textual.widgets import Static
from textual.worker import Worker, WorkerState

from tracker.app.session import Session
from tracker.tui.context import AppContext, Host
from tracker.tui.drafts import write_log
from tracker.tui.messages import WorkFailed
from tracker.tui.widgets.lines import KeyLine, TextLine, TitleLine


class Frame(Screen[None]):
    """Base of the full screens."""

    NAME: ClassVar[str] = ""
    HINTS: ClassVar[tuple[tuple[str, str], ...]] = ()
    FOLLOWS_ROSTER: ClassVar[bool] = False
    """Whether the screen shows what the roster works out, and reloads when there is more of it."""
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("escape", "back", "go back", show=False, id="back"),
        Binding("tab", "app.focus_next", "to the next part of the screen", show=False),
        Binding("shift+tab", "app.focus_previous", "to the part before", show=False),
        Binding("ctrl+c,super+c", "screen.copy_text", "copy what is marked with the mouse", show=False),
    ]

    @property
    def slackwater(self) -> Host:
        """The app, by what a screen may ask of it."""
        return cast("Host", self.app)

    @property
    def context(self) -> AppContext:
        """What the app was given."""
        return self.slackwater.context

    @property
    def session(self) -> Session:
        """What a use-case is given, as of this moment."""
        return self.slackwater.session

    def compose(self) -> ComposeResult:
        """Yield the lines around the body."""
        yield TitleLine(self.NAME, id="title")
        yield from self.body()
        yield TextLine(id="announcement")
        yield KeyLine(self.HINTS)

    def body(self) -> ComposeResult:
        """Yield what stands between the lines."""
        yield from ()

    def subject(self) -> str:
        """Return what the screen shows at the moment, for the title line."""
        return ""

    def on_mount(self) -> None:
        """Fill the screen."""
        self.retitle()
        self.reload()

    def on_resize(self) -> None:
        """Fit the title to the width."""
        self.retitle()

    def spoken(self) -> str:
        """Return the sentences the screen shows, for copying; "" where it shows none."""
        lines = self.query(TextLine).exclude("#title").exclude("#announcement").results(TextLine)
        return "\n".join(line.text for line in lines if line.display and line.text)

    def reload(self) -> None:
        """Ask the use-cases again; called at the start and whenever the data changed."""

    def retitle(self) -> None:
        """Refresh the title line."""
        day = self.slackwater.today()
        self.query_one(TitleLine).name_it(self.NAME, self.subject(), f"as of {day.isoformat()}")

    def announce(self, text: str, role: str = "") -> None:
        """Say one thing in the line above the keys."""
        self.query_one("#announcement", TextLine).say(text, role)

    def on_work_failed(self, message: WorkFailed) -> None:
        """Say what a worker could not do."""
        self.announce(message.text, "bad")

    def on_worker_state_changed(self, event: Worker.StateChanged) -> None:
        """Say that work in the background broke off, and log where; what is shown stays."""
        error = event.worker.error
        if event.state is WorkerState.ERROR and error is not None:
            log = write_log(self.context.state, error, self.slackwater.now())
            self.slackwater.busy = ""
            self.announce(f"This could not be worked out ({type(error).__name__}); the log is {log}.", "bad")

    def action_back(self) -> None:
        """Return to the screen before; on the first one say how to leave."""
        if len(self.app.screen_stack) > 2:
            self.app.pop_screen()
        else:
            self.announce("This is the first screen; ctrl+q quits.")


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
