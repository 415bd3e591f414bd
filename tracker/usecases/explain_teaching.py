"""What verdicts rest on beside a swimmer's own tests, and a mixed model's opinion of it."""

from __future__ import annotations

import datetime as dt

from tracker.errors import TooFewError
from tracker.records.swim import Swim
from tracker.series.from_swims import COLUMNS, rows_from_swims
from tracker.settings import Settings
from tracker.store.database import Store
from tracker.trend.roster_opinion import roster_opinion
from tracker.usecases.roster_teaching import roster_teaching
from tracker.usecases.sample_roster import sample_roster
from tracker.verdict.judge import examine
from tracker.verdict.teaching import Teaching

ASKED = 150
"""Swimmers at most that the mixed model is fitted to; its errors are small by then, its time is not."""


def explain_teaching(store: Store, *, as_of: dt.date, settings: Settings) -> Teaching:
    """Return what verdicts as of a day rest on, and the mixed model of the tests up to then."""
    taught = roster_teaching(store, as_of=as_of, settings=settings)
    with store.read() as reader:
        swims = reader.columns(Swim, COLUMNS, among=sample_roster(reader, ASKED))
    rows, _ = rows_from_swims(swims, settings, until=as_of)
    if rows is None:
        return Teaching(taught, settings.band, None, 0, "there is no usable test")
    case = examine(rows, taught, settings, past=False)
    try:
        opinion = roster_opinion(case.observations, case.answer)
    except TooFewError as few:
        return Teaching(taught, settings.band, None, len(case.answer), str(few))
    return Teaching(taught, settings.band, opinion, len(case.answer))
