"""The history: list, undo, redo."""

from __future__ import annotations

from dataclasses import replace

from tracker.app.session import Session
from tracker.errors import UsageError
from tracker.store.reading import HistoryLine
from tracker.technique.privacy import shown_label


def list_history(
    session: Session, *, swimmer: str | None = None, limit: int | None = None
) -> list[HistoryLine]:
    """Return the changes, latest first; of one swimmer if given.

    Raises
    ------
    UnknownNameError
        If nobody is called so.
    """
    with session.store.read() as reader:
        label = reader.swimmer(swimmer).record.swimmer if swimmer else None
        lines = reader.history(label, limit)
    return [replace(line, what=shown_label(line.what, session.settings)) for line in lines]


def undo(session: Session) -> str:
    """Return what was undone, in the history's words.

    Raises
    ------
    UsageError
        If nothing can be undone, or another has changed something of the same swimmer since.
    """
    try:
        return shown_label(session.store.undo(at=session.now, who=session.who), session.settings)
    except UsageError as refused:  # it names the change that stays
        raise UsageError(shown_label(str(refused), session.settings), refused.remedy) from None


def redo(session: Session) -> str:
    """Return what was done again, in the history's words; raises as `undo` does."""
    try:
        return shown_label(session.store.redo(at=session.now, who=session.who), session.settings)
    except UsageError as refused:
        raise UsageError(shown_label(str(refused), session.settings), refused.remedy) from None
