"""Mark the present verdict of a swimmer as seen, so that it is new no longer."""

from __future__ import annotations

import datetime as dt

from tracker.errors import UsageError
from tracker.model.swimmer import Choice
from tracker.model.vocabularies import ChoiceKind
from tracker.store.database import Store


def mark_seen(store: Store, name: str, verdict: str, *, as_of: dt.date, who: str, at: dt.datetime) -> None:
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
    with store.read() as reader:
        label = reader.swimmer(name).record.swimmer
    with store.write(who=who, what=f"mark {verdict} of {label} as seen", at=at) as writer:
        writer.add([Choice(date=as_of, swimmer=label, kind=ChoiceKind.SEEN, value=verdict, by=who)])
