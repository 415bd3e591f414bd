"""Choose the cut for a declared rate of false plateaus, by simulation on the roster's own calendars."""

from __future__ import annotations

import datetime as dt

from tracker.errors import UsageError
from tracker.records.swim import Swim
from tracker.series.from_swims import COLUMNS, rows_from_swims
from tracker.settings import Settings
from tracker.store.database import Store
from tracker.trend.error_rates import ErrorRates
from tracker.usecases.roster_teaching import roster_teaching
from tracker.verdict.steady_gainers import steady_gainers_called_flat


def calibrate_cut(store: Store, *, as_of: dt.date, settings: Settings, swimmers: int = 200) -> ErrorRates:
    """Return the rates of false plateaus at several cuts.

    Raises
    ------
    UsageError
        If there is no swimmer with a record long enough for a verdict.
    """
    taught = roster_teaching(store, as_of=as_of, settings=settings)
    with store.read() as reader:
        swims = reader.columns(Swim, COLUMNS)
    rows, _ = rows_from_swims(swims, settings, until=as_of)
    found = None if rows is None else steady_gainers_called_flat(rows, taught, settings, swimmers=swimmers)
    if found is None or not found.swimmers:
        raise UsageError("nobody has a record long enough for a verdict yet; log more tests first")
    return found
