"""The screens that a key opens from anywhere, by the name of their action."""

from __future__ import annotations

import datetime as dt

from tracker.tui.screens.frame import Frame


def screen_for(place: str, swimmer: str, today: dt.date) -> Frame:
    """Return a fresh screen; each is imported when it is first asked for.

    Parameters
    ----------
    swimmer
        The swimmer in hand, or "".
    """
    if place in _ABOUT_A_SWIMMER:
        return _about_a_swimmer(place, swimmer)
    if place == "month":
        from tracker.tui.screens.month import MonthScreen

        return MonthScreen(today)
    return _about_everybody(place)


_ABOUT_A_SWIMMER = frozenset(
    {"log-test", "log-review", "fault-step", "work", "log-event", "log-load", "consent"}
)


def _about_a_swimmer(place: str, swimmer: str) -> Frame:
    if place == "log-test":
        from tracker.tui.screens.log_test import LogTestScreen

        return LogTestScreen(swimmer)
    if place == "log-review":
        from tracker.tui.screens.log_review import LogReviewScreen

        return LogReviewScreen(swimmer)
    if place == "fault-step":
        from tracker.tui.screens.fault_work import StepFaultScreen

        return StepFaultScreen(swimmer)
    if place == "work":
        from tracker.tui.screens.fault_work import StartWorkScreen

        return StartWorkScreen(swimmer)
    if place == "log-load":
        from tracker.tui.screens.events import LogLoadScreen

        return LogLoadScreen(swimmer)
    if place == "consent":
        from tracker.tui.screens.consent import ConsentScreen

        return ConsentScreen(swimmer)
    from tracker.tui.screens.events import LogEventScreen

    return LogEventScreen(swimmer)


def _about_everybody(place: str) -> Frame:
    if place.startswith("add-"):
        return _to_add(place)
    if place == "log-squad":
        from tracker.tui.screens.squad import SquadScreen

        return SquadScreen()
    if place == "board":
        from tracker.tui.screens.work_board import WorkBoardScreen

        return WorkBoardScreen()
    if place == "import":
        from tracker.tui.screens.import_files import ImportScreen

        return ImportScreen()
    if place == "history":
        from tracker.tui.screens.reading import HistoryScreen

        return HistoryScreen()
    from tracker.tui.screens.settings import SettingsScreen

    return SettingsScreen()


def _to_add(place: str) -> Frame:
    if place == "add-test":
        from tracker.tui.screens.add import AddTestScreen

        return AddTestScreen()
    if place == "add-fault":
        from tracker.tui.screens.add import AddFaultScreen

        return AddFaultScreen()
    from tracker.tui.screens.add import AddSwimmerScreen

    return AddSwimmerScreen()
