"""The screens that a key opens from anywhere, by the name of their action."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Mapping
from importlib import import_module
from typing import Any, Final

from tracker.tui.screens.frame import Frame

_OF_A_SWIMMER: Final[Mapping[str, tuple[str, str]]] = {
    "log-test": ("log_test", "LogTestScreen"),
    "log-review": ("log_review", "LogReviewScreen"),
    "fault-step": ("fault_work", "StepFaultScreen"),
    "work": ("fault_work", "StartWorkScreen"),
    "log-event": ("events", "LogEventScreen"),
    "log-load": ("events", "LogLoadScreen"),
    "consent": ("events", "ConsentScreen"),
}
"""Action -> module and class of a screen that begins with the current swimmer."""
_OF_EVERYBODY: Final[Mapping[str, tuple[str, str]]] = {
    "add-swimmer": ("add", "AddSwimmerScreen"),
    "add-test": ("add", "AddTestScreen"),
    "add-fault": ("add", "AddFaultScreen"),
    "log-squad": ("squad", "SquadScreen"),
    "board": ("work_board", "WorkBoardScreen"),
    "calendar": ("calendar", "CalendarScreen"),
    "import": ("import_files", "ImportScreen"),
    "history": ("reading", "HistoryScreen"),
    "settings": ("settings", "SettingsScreen"),
}


def screen_for(name: str, swimmer: str, today: dt.date) -> Frame:
    """Return a fresh screen; each is imported when it is first asked for.

    Parameters
    ----------
    swimmer
        The current swimmer, or "".
    """
    if name in _OF_A_SWIMMER:
        return _screen(*_OF_A_SWIMMER[name], swimmer)
    if name == "month":
        return _screen("month", "MonthScreen", today)
    return _screen(*_OF_EVERYBODY[name])


def _screen(module: str, name: str, *begins: Any) -> Frame:  # noqa: ANN401 - what the screen begins with
    kind: Callable[..., Frame] = getattr(import_module(f"tracker.tui.screens.{module}"), name)
    return kind(*begins)
