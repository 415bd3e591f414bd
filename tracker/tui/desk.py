"""What the screens are given: the store, the settings, whose hand it is, and where drafts and the log go."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping
from dataclasses import dataclass, field
from pathlib import Path

from tracker.settings import DEFAULT, Settings
from tracker.store.database import Store


@dataclass(frozen=True)
class Desk:
    """Everything that a screen needs from outside, bound once by the composition root.

    Attributes
    ----------
    store
        Handed on to use-cases, never used by a screen itself.
    who
        The name under which changes stand in the history.
    state
        Folder for drafts and the log.
    pages
        Folder under which pages go.
    today
        The day taken as today; None follows the clock.
    keys
        Other keys for bindings, by their id ("log-test" -> "f5").
    notice
        A sentence shown once at the start ("as of the club's last day").
    """

    store: Store
    state: Path
    settings: Settings = DEFAULT
    who: str = "me"
    pages: Path = Path("reports")
    today: dt.date | None = None
    keys: Mapping[str, str] = field(default_factory=dict)
    notice: str = ""
