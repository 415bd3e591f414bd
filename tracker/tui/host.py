"""What a screen may ask of the app it stands in; so that screens and app do not import each other."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable
from typing import Protocol

from tracker.settings import Settings
from tracker.tui.desk import Desk
from tracker.tui.drafts import Drafts


class Host(Protocol):
    """The app as its screens know it."""

    desk: Desk
    drafts: Drafts
    busy: str

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

    def news(self, text: str, role: str = "") -> None:
        """Say one thing on the screen in front."""
        ...

    def open_swimmer(self, name: str) -> None:
        """Show one swimmer."""
        ...

    def heed(self, settings: Settings) -> None:
        """Go by these settings from now on."""
        ...

    def show_invented_club(self) -> None:
        """Build the invented club and show it instead of the present database."""
        ...
