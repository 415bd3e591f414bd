"""Sentences on who is left alone until a date."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence

from tracker.output.sentences.numbers import count
from tracker.technique.leave import Leave


def leave_words(one: Leave, today: dt.date) -> str:
    """Return "Bo Lind: left alone until 2026-07-10 (Maud): exams"."""
    why = f": {' '.join(one.reason.split())}" if one.reason else ""
    by = f" ({one.by})" if one.by else ""
    if one.until <= today:
        return f"{one.swimmer}: {f'the {one.what}' if one.what else 'everything'} is asked for again{by}{why}"
    said = f"the {one.what} is put off to" if one.what else "left alone until"
    return f"{one.swimmer}: {said} {one.until.isoformat()}{by}{why}"


def left_words(leaves: Sequence[Leave], today: dt.date) -> str:
    """Return what was left, of one swimmer or of several."""
    if len(leaves) == 1:
        return f"{leave_words(leaves[0], today)}."
    return f"{count(len(leaves), 'swimmer')}: {leave_words(leaves[0], today).partition(': ')[2]}."
