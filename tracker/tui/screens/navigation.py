"""The screens that a key opens from anywhere, by the name of their action."""

from __future__ import annotations

import datetime as dt

from tracker.tui.screens.frame import Frame


def screen_for(name: str, swimmer: str, today: dt.date) -> Frame:
    """Return a fresh screen; each is imported when it is first asked for.

    Parameters
    ----------
    swimmer
        The swimmer in hand, or "".
    """
    if name in _ABOUT_A_SWIMMER:
        return _about_a_swimmer(name, swimmer)
    if name == "month":
        from tracker.tui.screens.month import MonthScreen

        return MonthScreen(today)
    return _about_everybody(name)


_ABOUT_A_SWIMMER = frozenset(
    {"log-test", "log-review", "fault-step", "work", "log-event", "log-load", "consent"}
)


def _about_a_swimmer(name: str, swimmer: str) -> Frame:
    if name == "log-test":
        from tracker.tui.screens.log_test import LogTestScreen

        return LogTestScreen(swimmer)
    if name == "log-review":
        from tracker.tui.screens.log_review import LogReviewScreen

        return LogReviewScreen(swimmer)
    if name == "fault-step":
        from tracker.tui.screens.fault_work import StepFaultScreen

        return StepFaultScreen(swimmer)
    if name == "work":
        from tracker.tui.screens.fault_work import StartWorkScreen

        return StartWorkScreen(swimmer)
    if name == "log-load":
        from tracker.tui.screens.events import LogLoadScreen

        return LogLoadScreen(swimmer)
    if name == "consent":
        from tracker.tui.screens.consent import ConsentScreen

        return ConsentScreen(swimmer)
    from tracker.tui.screens.events import LogEventScreen

    return LogEventScreen(swimmer)


def _about_everybody(name: str) -> Frame:
    if name.startswith("add-"):
        return _to_add(name)
    if name == "log-squad":
        from tracker.tui.screens.squad import SquadScreen

        return SquadScreen()
    if name == "board":
        from tracker.tui.screens.work_board import WorkBoardScreen

        return WorkBoardScreen()
    if name == "import":
        from tracker.tui.screens.import_files import ImportScreen

        return ImportScreen()
    if name == "history":
        from tracker.tui.screens.reading import HistoryScreen

        return HistoryScreen()
    from tracker.tui.screens.settings import SettingsScreen

    return SettingsScreen()


def _to_add(name: str) -> Frame:
    if name == "add-test":
        from tracker.tui.screens.add import AddTestScreen

        return AddTestScreen()
    if name == "add-fault":
        from tracker.tui.screens.add import AddFaultScreen

        return AddFaultScreen()
    from tracker.tui.screens.add import AddSwimmerScreen

    return AddSwimmerScreen()
