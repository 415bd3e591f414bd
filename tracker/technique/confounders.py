"""Confounders: what else near the onset may have moved the line; always shown beside the link."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from typing import NamedTuple

import numpy as np

from tracker.engine.series.from_swims import Columns
from tracker.engine.verdict.verdict import FlatStretch
from tracker.model.event import Event, Load
from tracker.model.event_kinds import EventKind
from tracker.settings import Settings
from tracker.technique.link import Confounder, Finding, What
from tracker.technique.privacy import in_copies

_SWITCHED = 0.5
"""A condition counts as switched when its share of the swims rises by so much (assumption)."""
_LEAST_WEEKS = 3
"""Fewest logged weeks, or weeks of record, on either side for a comparison (assumption)."""
_YEAR_DAYS = 365.25
_EARLIER_YEAR_DAYS = 300


class SwimConditions(NamedTuple):
    """What the confounders need to know of one swim; a scan makes it straight from its columns."""

    date: dt.date
    protocol: str
    course: str
    suit: str


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
    near = (swims[name][first:last].tolist() for name in ("date", "test", "distance_m", "course", "suit"))
    return [
        SwimConditions(day, test or f"{distance:g} m", course, suit)
        for day, test, distance, course, suit in zip(*near, strict=True)
    ]


@dataclass(frozen=True)
class OnsetContext:
    """A swimmer's record as far as the confounders look at it.

    Attributes
    ----------
    stretches
        All flat stretches, for a stretch at the same time of an earlier year.
    """

    events: Sequence[Event] = ()
    swims: Sequence[SwimConditions] = ()
    load: Sequence[Load] = ()
    stretches: Sequence[FlatStretch] = ()


def confounders_near(
    stretch: FlatStretch, around: OnsetContext, *, as_of: dt.date, settings: Settings
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
        *_fewer_tests(swims, stretch.start, window, last, settings.rival_tests_drop),
        *_less_swum(around.load, stretch.start, window, last, settings.rival_volume_drop),
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
    )
    for what, value_of in kinds:
        if len({value_of(swim) for swim in swims}) < 2:
            continue
        values = [(swim.date, value_of(swim)) for swim in swims]
        for place in range(1, len(values)):
            day, new = values[place]
            old = values[place - 1][1]
            if new != old and first <= day <= last and _stays(values, place):
                yield Confounder(what, day, None, f"{old} to {new}")
                break


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


def _less_swum(
    load: Sequence[Load], onset: dt.date, window: dt.timedelta, last: dt.date, drop: float
) -> Iterable[Confounder]:
    for metres in (True, False):
        weeks = [
            (week.week, float(amount))
            for week in load
            if (amount := week.metres if metres else week.sessions) is not None
        ]
        before = [amount for day, amount in weeks if onset - window <= day < onset]
        after = [amount for day, amount in weeks if onset <= day <= last]
        if len(before) < _LEAST_WEEKS or len(after) < _LEAST_WEEKS or not sum(before):
            continue
        ratio = (sum(after) / len(after)) / (sum(before) / len(before))
        if ratio <= 1 - drop:
            yield Confounder(Finding.LESS_SWUM, onset, None, f"{100 * (1 - ratio):.0f} %")
        return


def _season(
    stretch: FlatStretch, stretches: Iterable[FlatStretch], window: dt.timedelta
) -> Iterable[Confounder]:
    """Yield an earlier flat stretch that began at the same time of the year."""
    for earlier in stretches:
        apart = (stretch.start - earlier.start).days
        off = abs((apart + _YEAR_DAYS / 2) % _YEAR_DAYS - _YEAR_DAYS / 2)
        if apart >= _EARLIER_YEAR_DAYS and off <= window.days:
            yield Confounder(Finding.SEASON, earlier.start, earlier.end)
            return
