"""A swimmer's monthly page as plain text, without leaving a file."""

from __future__ import annotations

import datetime as dt
import tempfile
from pathlib import Path

from tracker.errors import SlackwaterError
from tracker.settings import Settings
from tracker.store.database import Store
from tracker.usecases.make_pages import make_pages


def preview_page(store: Store, month: dt.date, name: str, *, as_of: dt.date, settings: Settings) -> str:
    """Return the text twin of the page.

    Raises
    ------
    UsageError
        If the month has not begun.
    SlackwaterError
        If the page may not be made, with the reason.
    """
    with tempfile.TemporaryDirectory(prefix="slackwater-") as folder:
        made = make_pages(
            store, month, out=Path(folder), as_of=as_of, settings=settings, names=[name], formats=("txt",)
        )
        if not made.written:
            reason = next((why for _, why in made.remarks), "nothing was made")
            raise SlackwaterError(f"no page for {name}: {reason}")
        return made.written[0].read_text(encoding="utf-8")
