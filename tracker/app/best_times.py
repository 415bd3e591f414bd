"""Best times of a swimmer, and what a new test did to the story."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from tracker.app.session import Session
from tracker.engine.verdict.news import NewsOfTest, counts, line_news
from tracker.model.best_times import BestTimes, Standing, best_times, season_start, standing
from tracker.model.swim import Swim
from tracker.model.swimmer import Swimmer
from tracker.settings import Settings
from tracker.store.reading import Reader

if TYPE_CHECKING:
    from tracker.app.log_swims import LoggedSwims
    from tracker.engine.verdict.judge import LearnedPriors
    from tracker.engine.verdict.verdict import Verdict
    from tracker.model.event import Event


@dataclass(frozen=True)
class BestOfSwimmer:
    """Best times as of a day, the season counted from `season`."""

    swimmer: str
    season: dt.date
    best: tuple[BestTimes, ...]


def best_of(session: Session, name: str) -> BestOfSwimmer:
    """Return the best times of the swims that count.

    Raises
    ------
    UnknownNameError
        If nobody is called so.
    """
    from tracker.app.explain import why

    view = why(session, name)
    return best_of_swims(view.swimmer.swimmer, view.counted, session.today, session.settings)


def best_of_swims(name: str, counted: Sequence[Swim], as_of: dt.date, settings: Settings) -> BestOfSwimmer:
    """Return the best times of one swimmer's swims that count."""
    month = settings.season_month
    return BestOfSwimmer(
        name, season_start(as_of, month), best_times(counted, as_of=as_of, season_month=month)
    )


def news_of_times(session: Session, logged: LoggedSwims) -> NewsOfTest:
    """Return how the times of a test stand beside the earlier ones; costs next to nothing."""
    with session.store.read() as reader:
        return NewsOfTest(_standings(_counting(reader, logged.swimmer, session.settings), logged))


def news_of_test(session: Session, logged: LoggedSwims) -> NewsOfTest:
    """Return what a test that was just logged did.

    The line is worked out where the priors are known already, or the roster is too small to teach any: nobody
    waits at the pool for a roster to be learned from.
    """
    from tracker.app.learned_priors import priors_at_hand

    learned = priors_at_hand(session)
    with session.store.read() as reader:
        standings = _standings(_counting(reader, logged.swimmer, session.settings), logged)
        if learned is None or not standings:
            return NewsOfTest(standings)
        before, after = _without_and_with(reader, session, logged, learned)
    day = logged.swims[0].date
    if after is not None and day in {test.date for test in after.set_aside} and not counts(before, after):
        return NewsOfTest((), aside=True)
    return NewsOfTest(standings, line_news(before, after, day, session.settings.min_tests))


def _counting(reader: Reader, who: Swimmer, settings: Settings) -> dict[int, Swim]:
    """Return the swims that count, by number, as far as one can say without the line."""
    from tracker.engine.verdict.counted_swims import swim_statuses

    rows = list(reader.all(Swim, swimmer=who.swimmer))
    found = swim_statuses((row.record for row in rows), None, settings)
    return {row.id: row.record for row, status in zip(rows, found, strict=True) if status.counts}


def _standings(counting: dict[int, Swim], logged: LoggedSwims) -> tuple[Standing, ...]:
    own = set(logged.numbers)
    others = [swim for number, swim in counting.items() if number not in own]
    found = [standing(counting[number], others) for number in logged.numbers if number in counting]
    return tuple(one for one in found if one is not None)


def _without_and_with(
    reader: Reader, session: Session, logged: LoggedSwims, learned: LearnedPriors
) -> tuple[Verdict | None, Verdict | None]:
    """Return the verdict without the test and with it."""
    from tracker.model.event import Event

    label, own = logged.swimmer.swimmer, set(logged.numbers)
    rows = [row for row in reader.all(Swim, swimmer=label) if row.record.date <= session.today]
    events = [row.record for row in reader.all(Event, swimmer=label)]
    before = _judged([row.record for row in rows if row.id not in own], events, learned, session)
    return before, _judged([row.record for row in rows], events, learned, session)


def _judged(
    swims: Sequence[Swim], events: Sequence[Event], learned: LearnedPriors, session: Session
) -> Verdict | None:
    from tracker.engine.series.comparable import jump_days
    from tracker.engine.series.from_swims import rows_from_swims, swims_columns
    from tracker.engine.verdict.judge import examine, judge_case

    columns = swims_columns([swim.model_dump() for swim in sorted(swims, key=lambda swim: swim.date)])
    rows, _ = rows_from_swims(columns, session.settings, until=session.today)
    if rows is None:
        return None
    case = examine(rows, learned, session.settings, events=jump_days(events, session.today), past=False)
    return judge_case(case, session.settings, as_of=session.today, detail=True)[0]
