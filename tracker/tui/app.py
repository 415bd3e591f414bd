"""The app: opens screens, follows the data, keeps the terminal usable.

The only part of the screens that reads the clock.
"""

from __future__ import annotations

import asyncio
import datetime as dt
import signal
from collections.abc import Callable, Iterable
from dataclasses import replace
from typing import ClassVar

from textual import events
from textual.app import App, SystemCommand
from textual.binding import Binding, BindingType
from textual.geometry import Size
from textual.screen import Screen
from textual.worker import Worker

from tracker.app.session import Session
from tracker.errors import SlackwaterError
from tracker.model.text import clean_note
from tracker.settings import Settings
from tracker.tui.context import AppContext
from tracker.tui.drafts import Drafts, save_copied_text
from tracker.tui.key_queue import KeyQueue
from tracker.tui.remedies import check_command, failure_words
from tracker.tui.screens.confirm import ConfirmScreen
from tracker.tui.screens.frame import Frame, TooSmallScreen, is_too_small
from tracker.tui.screens.keys import KeysScreen
from tracker.tui.screens.roster import RosterScreen
from tracker.tui.themes import DARK, LIGHT
from tracker.tui.widgets.lines import TextLine

SCREEN_KEYS = (
    ("t", "log-test", "log a test swim"),
    ("s", "log-squad", "log one test of a whole squad"),
    ("r", "log-review", "log a review"),
    ("f", "fault-step", "write down a step of a fault"),
    ("c", "work", "start or stop a cue or a drill"),
    ("e", "log-event", "log an event"),
    ("L", "log-load", "log what was swum in a week"),
    ("C", "consent", "write down a consent, or that it was withdrawn"),
    ("a", "add-swimmer", "add a swimmer"),
    ("T", "add-test", "add a test of your own"),
    ("F", "add-fault", "add a fault of your own"),
    ("w", "board", "faults and work of everybody"),
    ("A", "calendar", "dates ahead: tests, looks, races"),
    ("m", "month", "the month's pages"),
    ("i", "import", "import files"),
    ("H", "history", "history: what was changed"),
    ("O", "settings", "settings"),
)
"""Keys that open a screen from anywhere, with the action's name and what it does."""
FOLLOW_EVERY_S = 1.0
"""How often the database is asked whether somebody changed it."""


class SlackwaterApp(App[int]):
    """The screens."""

    TITLE = "slackwater"
    CSS_PATH = "look.tcss"
    ENABLE_COMMAND_PALETTE = True
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("ctrl+q", "quit", "quit", show=False, priority=True, id="quit"),
        Binding("ctrl+p", "command_palette", "find an action by its name", show=False, priority=True),
        Binding("question_mark", "keys", "all keys here", show=False, id="keys"),
        Binding("u", "undo", "undo the last change", show=False, id="undo"),
        Binding("U", "redo", "redo what was undone", show=False, id="redo"),
        Binding("Y", "copy", "copy the sentence shown, also into a file", show=False, id="copy"),
        *(Binding(key, f"go('{id_}')", does, show=False, id=id_) for key, id_, does in SCREEN_KEYS),
    ]

    def __init__(self, context: AppContext) -> None:
        super().__init__()
        self.context = context
        self.drafts = Drafts(context.state / "drafts")
        self.animation_level = "none"  # nothing here moves for show, near or over a slow line
        self.stopped_by: str = ""
        self.busy: str = ""
        self._version: int | None = None
        self._turns = KeyQueue(self)
        self.register_theme(DARK)
        self.register_theme(LIGHT)
        self.theme = LIGHT.name if context.light else DARK.name
        if context.keys:
            self.set_keymap(context.keys)

    async def on_event(self, event: events.Event) -> None:
        """Let keys and pastes take their turns, however fast they come."""
        typed = event if isinstance(event, (events.Key, events.Paste)) and not event.is_forwarded else None
        if typed is None or not self._turns.must_wait(typed):
            await super().on_event(event)

    def now(self) -> dt.datetime:
        """Return the present moment, with the local zone."""
        return dt.datetime.now().astimezone()

    def today(self) -> dt.date:
        """Return the day taken as today."""
        return self.context.session.today if self.context.day_fixed else self.now().date()

    @property
    def session(self) -> Session:
        """What a use-case is given, as of this moment."""
        return replace(self.context.session, today=self.today(), now=self.now())

    async def on_mount(self) -> None:
        """Show the roster and begin to follow the data."""
        self._catch_signals()
        self.push_screen(RosterScreen())
        self._welcome()
        if self.context.notice:
            self.call_after_refresh(self.announce, self.context.notice)
        self.set_interval(FOLLOW_EVERY_S, self.follow)
        self._fit(self.size)

    def _welcome(self) -> None:
        """Show the welcome screen on an empty database."""
        from tracker.app.swimmers import roster_names
        from tracker.tui.screens.settings import WelcomeScreen

        if not roster_names(self.session):
            self.push_screen(WelcomeScreen())

    def on_resize(self, event: events.Resize) -> None:
        """Give way to a word where the window is too small."""
        self._fit(event.size)

    def follow(self, *, certainly: bool = False) -> None:
        """Reload the screens if anybody changed the data, or if we know that we did."""
        try:
            version = self.session.data_version()
        except SlackwaterError as error:
            self.announce(failure_words(error), "bad")
            return
        changed, self._version = self._version not in {None, version}, version
        if changed or certainly:
            for screen in self.screen_stack:
                if isinstance(screen, Frame) and screen.is_mounted:
                    screen.reload()

    def change(self, act: Callable[[], object], done: str) -> bool:
        """Do one change through a use-case; say what was done, or the error's one line.

        Returns
        -------
        bool
            Whether it was done.
        """
        try:
            act()
        except (SlackwaterError, ValueError) as error:
            self.announce(failure_words(error), "bad")
            return False
        self.follow(certainly=True)
        self.announce(done, "good")
        return True

    def announce(self, text: str, role: str = "") -> None:
        """Say one thing on the screen in front."""
        if isinstance(self.screen, Frame):
            self.screen.announce(text, role)
        else:
            for line in self.screen.query("#announcement").results(TextLine):
                line.say(text, role)

    def on_worker_state_changed(self, event: Worker.StateChanged) -> None:
        """Have the screen in front say that work that belongs to none broke off."""
        for screen in reversed(self.screen_stack):
            if isinstance(screen, Frame):
                screen.on_worker_state_changed(event)
                return

    def open_swimmer(self, name: str) -> None:
        """Show one swimmer."""
        from tracker.tui.screens.swimmer import SwimmerScreen

        self.push_screen(SwimmerScreen(name))

    def current_swimmer(self) -> str:
        """Return the swimmer of the screen in front, or ""."""
        for screen in reversed(self.screen_stack):
            name = getattr(screen, "swimmer", lambda: None)()
            if name:
                return str(name)
        return ""

    def action_keys(self) -> None:
        """Show all keys that work here."""
        if not isinstance(self.screen, (KeysScreen, TooSmallScreen)):
            self.push_screen(KeysScreen(self.screen))

    def action_undo(self) -> None:
        """Take the last change back."""
        self._history(redo=False)

    def action_redo(self) -> None:
        """Do the change undone last again."""
        self._history(redo=True)

    def _history(self, *, redo: bool) -> None:
        from tracker.app.history import redo as redo_last
        from tracker.app.history import undo as undo_last

        try:
            what = (redo_last if redo else undo_last)(self.session)
            self._leave_whoever_is_gone()
        except SlackwaterError as error:
            self.announce(failure_words(error))
            return
        self.follow(certainly=True)
        self.announce(f"{'Done again' if redo else 'Undone'}: {what}", "good")

    def _leave_whoever_is_gone(self) -> None:
        """Leave the screen of a swimmer that no longer exists after an undo."""
        from tracker.app.swimmers import list_swimmers
        from tracker.tui.screens.swimmer import SwimmerScreen

        known = {who.swimmer for who in list_swimmers(self.session, archived=True)}
        for index, screen in enumerate(self.screen_stack):
            if isinstance(screen, SwimmerScreen) and screen.swimmer() not in known:
                for _ in self.screen_stack[index:]:
                    self.pop_screen()
                return

    def action_go(self, name: str) -> None:
        """Open the screen of this name, for the current swimmer where it is about one."""
        from tracker.tui.screens.navigation import screen_for

        if not isinstance(self.screen, (KeysScreen, TooSmallScreen)):
            self.push_screen(screen_for(name, self.current_swimmer(), self.today()))

    def apply_settings(self, settings: Settings) -> None:
        """Go by these settings from now on."""
        self.context = replace(self.context, session=replace(self.context.session, settings=settings))

    def show_invented_club(self) -> None:
        """Build the invented club and show it instead of the present database."""
        from tracker.app.demo import build_demo

        try:
            demo = build_demo(settings=self.session.settings)
        except SlackwaterError as error:
            self.announce(failure_words(error), "bad")
            return
        self.context = replace(
            self.context,
            session=replace(self.context.session, store=demo.store, today=demo.last_day),
            day_fixed=True,
            pages=demo.folder / "pages",
            check=check_command(demo.store.address),
        )
        while len(self.screen_stack) > 2:
            self.pop_screen()
        self.follow(certainly=True)
        self.announce(f"The invented club, as of its last day, {demo.last_day}, in {demo.folder}")

    async def action_quit(self) -> None:
        """Leave; while something runs, ask first."""
        if not self.busy:
            self.exit(0)
        elif not isinstance(self.screen, ConfirmScreen):
            question = f"{self.busy.capitalize()}; quit all the same?"
            self.push_screen(ConfirmScreen(question), lambda yes: self.exit(0) if yes else None)

    def action_copy(self) -> None:
        """Copy what the screen says: through the terminal (OSC 52), and into a file for where that fails."""
        words = self.screen.spoken() if isinstance(self.screen, Frame) else ""
        if not words:
            self.announce("There is nothing to copy here.")
            return
        self.copy_to_clipboard(clean_note(words))
        file = save_copied_text(self.context.state, clean_note(words))
        self.announce(
            f"Copied by way of the terminal (OSC 52), which not every terminal allows; also in {file}."
        )

    def action_command_palette(self) -> None:
        """Open the palette, except where the window is too small for it."""
        if not isinstance(self.screen, TooSmallScreen):
            super().action_command_palette()

    def get_system_commands(self, screen: Screen[object]) -> Iterable[SystemCommand]:
        """Yield what the palette offers: every action that has a key here, and the two themes."""
        seen = set()
        for active in screen.active_bindings.values():
            binding = active.binding
            if binding.description and binding.id and binding.action not in seen:
                seen.add(binding.action)
                yield SystemCommand(
                    binding.description,
                    f"key {binding.key.split(',')[0]}",
                    _runner(self, binding.action, active.node),
                )
        other = LIGHT if self.theme == DARK.name else DARK
        yield SystemCommand(
            f"{other.name} colours", "light or dark", lambda: setattr(self, "theme", other.name)
        )

    def _fit(self, size: Size) -> None:
        small = is_too_small(*size)
        shown = isinstance(self.screen, TooSmallScreen)
        if small and not shown:
            self.push_screen(TooSmallScreen())
        elif not small and shown:
            self.pop_screen()

    def _catch_signals(self) -> None:
        loop = asyncio.get_running_loop()
        for number in (signal.SIGTERM, signal.SIGHUP, signal.SIGINT):
            try:
                loop.add_signal_handler(number, self._stop, number)
            except (NotImplementedError, RuntimeError, ValueError):
                return

    def _stop(self, number: signal.Signals) -> None:
        self.stopped_by = number.name
        self.exit(130 if number is signal.SIGINT else 1)

    @property
    def crash(self) -> Exception | None:
        """The error that ended the app, if one did."""
        return self._exception

    def _fatal_error(self) -> None:
        """Close without printing a traceback: its values may be somebody's personal data."""
        self._close_messages_no_wait()


def _runner(app: SlackwaterApp, action: str, node: object) -> Callable[[], object]:
    return lambda: app.run_worker(app.run_action(action, node), exclusive=False)  # type: ignore[arg-type]
