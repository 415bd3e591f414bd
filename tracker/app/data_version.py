"""Whether anybody changed the data."""

from __future__ import annotations

from tracker.app.session import Session


def data_version(session: Session) -> int:
    """Return a number that differs whenever something was committed, by whomever."""
    with session.store.light_reader() as reader:
        return reader.data_version()
