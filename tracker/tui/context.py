"""The context of the screens, and the app as a screen may use it."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Mapping, Sequence
from dataclasses import asdict, dataclass, field
from pathlib import Path
from typing import Protocol

from tracker.app.session import Session
from tracker.errors import UsageError
from tracker.settings import DEFAULT, Settings
from tracker.tui.drafts import Drafts


class Config(Protocol):
    """Where the settings are stored."""

    def rows(self) -> list[tuple[str, str, str]]:
        """Return name, value and origin of each."""

    def put(self, name: str, value: str) -> Settings:
        """Write one into the user's own file; return all as they hold from now on; raises `UsageError`."""


@dataclass(frozen=True)
class FixedConfig:
    """Settings that are stored nowhere."""

    settings: Settings

    def rows(self) -> list[tuple[str, str, str]]:
        """Return name, value and origin of each."""
        return [(name, str(value), "default") for name, value in asdict(self.settings).items()]

    def put(self, name: str, value: str) -> Settings:
        """Refuse."""
        raise UsageError(f"{name} stays as it is here; {value!r} cannot be kept")


@dataclass(frozen=True)
class AppContext:
    """Everything that a screen needs from outside, bound once by the composition root.

    Attributes
    ----------
    session
        What use-cases are given, as of the start.
    state
        Folder for drafts and the log.
    day_fixed
        Whether the session's day stays; else the screens follow the clock.
    cache
        Folder for what can be worked out again; None keeps nothing.
    pages
        Folder under which pages go.
    config
        Where the settings are stored.
    keys
        Other keys for bindings, by their id ("log-test" -> "f5").
    light
        Whether to begin with the light colours.
    notice
        A sentence shown once at the start ("as of the club's last day").
    check
        The command that checks the session's database in full.
    """

    session: Session
    state: Path
    day_fixed: bool = False
    pages: Path = Path("reports")
    cache: Path | None = None
    config: Config = field(default_factory=lambda: FixedConfig(DEFAULT))
    keys: Mapping[str, str] = field(default_factory=dict)
    notice: str = ""
    check: str = "slackwater check"
    light: bool = False


class Host(Protocol):
    """The app as its screens know it."""

    context: AppContext
    drafts: Drafts
    busy: str
    order: tuple[str, ...]
    marked: tuple[str, ...]

    @property
    def session(self) -> Session:
        """What a use-case is given, as of this moment."""
        ...

    def now(self) -> dt.datetime:
        """Return the present moment, with the local zone."""
        ...

    def today(self) -> dt.date:
        """Return the day taken as today."""
        ...

    def follow(self, *, certainly: bool = False) -> None:
        """Reload the screens if anybody changed the data, or if we know that we did."""
        ...

    def change(self, act: Callable[[], object], done: str) -> bool:
        """Do one change through a use-case; say what was done, or the error's one line."""
        ...

    def announce(self, text: str, role: str = "") -> None:
        """Say one thing on the screen in front."""
        ...

    def open_swimmer(self, name: str, among: Sequence[str]) -> None:
        """Show one swimmer; `among` is the order in which the next ones follow."""
        ...

    def apply_settings(self, settings: Settings) -> None:
        """Go by these settings from now on."""
        ...

    def show_invented_club(self) -> None:
        """Build the invented club and show it instead of the present database."""
        ...
