"""Choose the cut for a declared rate of false plateaus, by simulation on the roster's own calendars."""

from __future__ import annotations

from tracker.app.learned_priors import learned_priors
from tracker.app.session import Session
from tracker.engine.series.from_swims import COLUMNS, rows_from_swims
from tracker.engine.trend.error_rates import ErrorRates
from tracker.engine.verdict.steady_gainers import steady_gainers_called_flat
from tracker.errors import UsageError
from tracker.model.swim import Swim


def calibrate_cut(session: Session, *, swimmers: int = 200) -> ErrorRates:
    """Return the rates of false plateaus at several cuts.

    Raises
    ------
    UsageError
        If there is no swimmer with a record long enough for a verdict.
    """
    learned = learned_priors(session)
    with session.store.read() as reader:
        swims = reader.columns(Swim, COLUMNS)
    rows, _ = rows_from_swims(swims, session.settings, until=session.today)
    found = (
        None
        if rows is None
        else steady_gainers_called_flat(rows, learned, session.settings, swimmers=swimmers)
    )
    if found is None or not found.swimmers:
        raise UsageError("nobody has a record long enough for a verdict yet; log more tests first")
    return found
