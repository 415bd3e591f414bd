"""Confounders: what else near the onset may have moved the line; always shown beside the link."""

from __future__ import annotations

import datetime as dt
import math
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from typing import NamedTuple

import numpy as np

from tracker.engine.series.conditions import FULL_EFFORT, breaks, swing, whole_hours
from tracker.engine.series.from_swims import Columns
from tracker.engine.series.rows import day_date, day_number
from tracker.engine.verdict.verdict import DatedStretch, FlatStretch
from tracker.model.event import Event, Load
from tracker.model.event_kinds import JUMP_KINDS, EventKind
from tracker.model.units import LEAST_EFFORT
from tracker.model.vocabularies import Phase
from tracker.settings import Settings
from tracker.technique.fault_timeline import FaultTimeline
from tracker.technique.link import Confounder, Finding, What
from tracker.technique.privacy import in_copies

_HALF = 0.5
"""Of the day's swing: hours beyond it are the morning's."""
_SWITCHED = 0.5
"""A condition counts as switched when its share of the swims rises by so much (assumption)."""
_LEAST_WEEKS = 3
"""Fewest logged weeks, or weeks of record, on either side for a comparison (assumption)."""
TOO_MANY = 3
"""Faults in work at once from which on they may be what moves the line: one at a time, two at most, is
common practice, no source."""
_YEAR_DAYS = 365.25
_EARLIER_YEAR_DAYS = 300
_COLUMNS = ("date", "test", "distance_m", "course", "suit", "at", "effort", "taper")


class SwimConditions(NamedTuple):
    """What the confounders need to know of one swim; a scan makes it straight from its columns."""

    date: dt.date
    protocol: str
    course: str
    suit: str
    at: str = ""
    effort: int | None = None
    tapered: bool = False


def swum_near(swims: Columns, rows: slice, onset: dt.date, settings: Settings) -> list[SwimConditions]:
    """Return one swimmer's swims as near to an onset as the confounders look; the rest is not made.

    Outside any test the distance is the protocol.

    Parameters
    ----------
    swims
        `engine.series.from_swims.COLUMNS`, sorted by swimmer and date.
    rows
        The swimmer's rows.
    """
    reach = 2 * dt.timedelta(weeks=settings.rival_weeks)
    days = swims["date"][rows]
    ends = np.array([onset - reach, onset + reach + dt.timedelta(days=1)], "datetime64[D]")
    first, last = np.searchsorted(days, ends) + rows.start
    near = (swims[name][first:last].tolist() for name in _COLUMNS)
    return [
        SwimConditions(
            day,
            test or f"{distance:g} m",
            course,
            suit,
            at,
            None if math.isnan(effort) else int(effort),
            taper != "",
        )
        for day, test, distance, course, suit, at, effort, taper in zip(*near, strict=True)
    ]


@dataclass(frozen=True)
class OnsetContext:
    """A swimmer's record as far as the confounders look at it.

    Attributes
    ----------
    stretches
        All flat stretches, for a stretch at the same time of an earlier year.
    faults
        The timelines of the faults, for too many in work at once.
    """

    events: Sequence[Event] = ()
    swims: Sequence[SwimConditions] = ()
    load: Sequence[Load] = ()
    stretches: Sequence[FlatStretch] = ()
    faults: Sequence[FaultTimeline] = ()


def confounders_near(
    stretch: DatedStretch, around: OnsetContext, *, as_of: dt.date, settings: Settings
) -> tuple[Confounder, ...]:
    """Return the confounders within `settings.rival_weeks` of the onset, likeliest kind first.

    Of an illness or injury nothing but a break is said, and only where health is switched on.
    Nothing after `as_of` is looked at.
    """
    window = dt.timedelta(weeks=settings.rival_weeks)
    first, last = stretch.start - window, min(stretch.start + window, as_of)
    swims = sorted(s for s in around.swims if first - window <= s.date <= min(last + window, as_of))
    found = [
        *_events(around.events, first, last, settings),
        *_switches(swims, first, last),
        *_tapers(swims, first, last),
        *_gaps(swims, first, last),
        *_fewer_tests(swims, stretch.start, window, last, settings.rival_tests_drop),
        *_swum(around, stretch.start, window, last, settings.rival_volume_drop),
        *_in_work_at_once(around.faults, first, last),
        *_season(stretch, around.stretches, window),
    ]
    return tuple(
        sorted(found, key=lambda confounder: (confounder.what.about.rank, confounder.begins or first))
    )


def _events(
    events: Iterable[Event], first: dt.date, last: dt.date, settings: Settings
) -> Iterable[Confounder]:
    for held in events:
        if held.from_date > last or (held.to_date or held.from_date) < first:
            continue
        event = in_copies(held, settings)
        if event is None:
            continue
        if event.is_break:
            yield Confounder(Finding.BREAK, event.from_date, event.to_date)
        else:
            yield Confounder(event.kind, event.from_date, event.to_date, event.note.split("\n")[0])


def _switches(swims: Sequence[SwimConditions], first: dt.date, last: dt.date) -> Iterable[Confounder]:
    kinds: tuple[tuple[What, Callable[[SwimConditions], str]], ...] = (
        (EventKind.POOL, lambda swim: swim.course),
        (EventKind.SUIT, lambda swim: swim.suit),
        (Finding.PROTOCOL, lambda swim: swim.protocol),
        (Finding.HOUR, _part_of_day),
        (Finding.EFFORT, _effort),
    )
    for what, value_of in kinds:
        values = [(swim.date, value) for swim in swims if (value := value_of(swim))]
        if len({value for _, value in values}) < 2:
            continue
        for place in range(1, len(values)):
            day, new = values[place]
            old = values[place - 1][1]
            if new != old and first <= day <= last and _stays(values, place):
                yield Confounder(what, day, None, f"{old} to {new}")
                break


def _part_of_day(swim: SwimConditions) -> str:
    """Return the half of the day that the pace goes by; empty where no hour is known."""
    hour = float(whole_hours(np.array([swim.at], object))[0])
    if math.isnan(hour):
        return ""
    return "morning" if swing(hour) > _HALF else "afternoon or evening"


def _effort(swim: SwimConditions) -> str:
    """Return how hard a test was; empty where it is not known, or where the swim is no test."""
    if swim.effort is None or swim.effort < LEAST_EFFORT:
        return ""
    return "all out" if swim.effort >= FULL_EFFORT else f"effort {swim.effort}"


def _tapers(swims: Sequence[SwimConditions], first: dt.date, last: dt.date) -> Iterable[Confounder]:
    days = [swim.date for swim in swims if swim.tapered and first <= swim.date <= last]
    if days:
        yield Confounder(Finding.TAPER, days[0], days[-1] if days[-1] > days[0] else None)


def _gaps(swims: Sequence[SwimConditions], first: dt.date, last: dt.date) -> Iterable[Confounder]:
    """Yield the breaks from which the swimmer came back near the onset."""
    days = np.array([day_number(swim.date) for swim in swims], np.int64)
    for gone, back in breaks(days):
        if first <= day_date(back) <= last:
            yield Confounder(Finding.GAP, day_date(gone), day_date(back))


def _stays(values: Sequence[tuple[dt.date, str]], place: int) -> bool:
    """Return whether the value at `place` becomes common from there on, within about as long a time."""
    new = values[place][1]
    before = [value for _, value in values[:place]]
    after = [value for _, value in values[place:]]
    return after.count(new) / len(after) - before.count(new) / len(before) >= _SWITCHED


def _fewer_tests(
    swims: Sequence[SwimConditions], onset: dt.date, window: dt.timedelta, last: dt.date, drop: float
) -> Iterable[Confounder]:
    days = sorted({swim.date for swim in swims})
    before = [day for day in days if onset - window <= day < onset]
    after = [day for day in days if onset <= day <= last]
    weeks_after = ((last - onset).days + 1) / 7
    if len(before) < _LEAST_WEEKS or weeks_after < _LEAST_WEEKS:
        return
    expected = len(before) / (window.days / 7) * weeks_after
    if len(after) <= (1 - drop) * expected:
        yield Confounder(Finding.FEWER_TESTS, onset, None, f"{len(before)} to {len(after)}")


def _swum(
    around: OnsetContext, onset: dt.date, window: dt.timedelta, last: dt.date, share: float
) -> Iterable[Confounder]:
    """Yield how much less or more was swum after the onset than before, by metres, else by sessions.

    To have swum more is counted against whole weeks alone: after a lay-off everybody swims more.
    """
    for metres in (True, False):
        weeks = [
            (week.week, float(amount))
            for week in around.load
            if (amount := week.metres if metres else week.sessions) is not None
        ]
        before = [(day, amount) for day, amount in weeks if onset - window <= day < onset]
        after = [amount for day, amount in weeks if onset <= day <= last]
        if len(before) < _LEAST_WEEKS or len(after) < _LEAST_WEEKS or not _mean(before):
            continue
        now = sum(after) / len(after)
        whole = [(day, amount) for day, amount in before if not _off(day, around.events)]
        if now <= (1 - share) * _mean(before):
            fell = 100 * (1 - now / _mean(before))
            yield Confounder(Finding.LESS_SWUM, onset, None, f"{fell:.0f} %")
        elif len(whole) >= _LEAST_WEEKS and _mean(whole) and now >= (1 + share) * _mean(whole):
            rose = 100 * (now / _mean(whole) - 1)
            yield Confounder(Finding.MORE_SWUM, onset, None, f"{rose:.0f} %")
        return


def _mean(weeks: Sequence[tuple[dt.date, float]]) -> float:
    return sum(amount for _, amount in weeks) / len(weeks)


def _off(week: dt.date, events: Iterable[Event]) -> bool:
    """Return whether a lay-off or the like took away days of a week."""
    ends = week + dt.timedelta(days=6)
    return any(
        event.kind in JUMP_KINDS and event.from_date <= ends and (event.to_date or event.from_date) >= week
        for event in events
    )


def _in_work_at_once(faults: Sequence[FaultTimeline], first: dt.date, last: dt.date) -> Iterable[Confounder]:
    """Yield the first day near the onset on which too many faults were in work at once, and how many."""
    days = {first, *(m.day for fault in faults for m in fault.moments if first < m.day <= last)}
    for day in sorted(days):
        moments = [fault.on(day) for fault in faults]
        working = sum(moment is not None and moment.state.phase is Phase.IN_WORK for moment in moments)
        if working >= TOO_MANY:
            yield Confounder(Finding.FAULTS_IN_WORK, day, None, str(working))
            return


def _season(
    stretch: DatedStretch, stretches: Iterable[FlatStretch], window: dt.timedelta
) -> Iterable[Confounder]:
    """Yield an earlier flat stretch that began at the same time of the year."""
    for earlier in stretches:
        apart = (stretch.start - earlier.start).days
        off = abs((apart + _YEAR_DAYS / 2) % _YEAR_DAYS - _YEAR_DAYS / 2)
        if apart >= _EARLIER_YEAR_DAYS and off <= window.days:
            yield Confounder(Finding.SEASON, earlier.start, earlier.end)
            return
