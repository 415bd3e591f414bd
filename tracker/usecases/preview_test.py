"""What logging a test would give, while it is still being typed."""

from __future__ import annotations

import datetime as dt

from tracker.entry.swim_form import TypedTest
from tracker.settings import Settings
from tracker.store.database import Store
from tracker.usecases.log_test import Logged, weigh_test


def preview_test(store: Store, typed: TypedTest, *, as_of: dt.date, settings: Settings) -> Logged:
    """Return the swims, the CSS and the remarks; nothing is stored.

    Raises
    ------
    UnknownNameError
        If the swimmer or the test is not known.
    EntryError
        With every problem of the form.
    """
    with store.read() as reader:
        return weigh_test(reader, typed, as_of=as_of, settings=settings)
