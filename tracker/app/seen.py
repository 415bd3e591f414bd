"""Mark the present verdict of a swimmer as seen, so that it is new no longer."""

from __future__ import annotations

from tracker.app.session import Session
from tracker.errors import UsageError
from tracker.model.swimmer import Choice
from tracker.model.vocabularies import ChoiceKind


def mark_seen(session: Session, name: str, verdict: str) -> None:
    """Note that somebody saw that `name` has this verdict.

    Raises
    ------
    UnknownNameError
        If nobody is called so.
    UsageError
        If there is no verdict to see.
    """
    if not verdict:
        raise UsageError(f"{name} has no verdict yet; log tests first")
    with session.store.read() as reader:
        label = reader.swimmer(name).record.swimmer
    with session.write(f"mark {verdict} of {label} as seen") as writer:
        writer.add(
            [Choice(date=session.today, swimmer=label, kind=ChoiceKind.SEEN, value=verdict, by=session.who)]
        )
