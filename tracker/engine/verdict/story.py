"""The story of a series: what it did from the first test to the last, span by span, each with dates.

The present span is that of the verdict, the flat ones before it are the engine's flat stretches, and what
lies between them is named by the fitted line's rate. So the story never contradicts the word.
"""

from __future__ import annotations

import datetime as dt
import math
from collections.abc import Iterator
from dataclasses import dataclass, replace
from itertools import pairwise
from typing import assert_never

import numpy as np

from tracker.engine.series.comparable import Series
from tracker.engine.series.rows import day_date
from tracker.engine.trend.observations import Floats
from tracker.engine.trend.posterior import Answer
from tracker.engine.verdict.chart import Z90
from tracker.engine.verdict.verdict import FlatStretch, StorySpan, TrendClass, Verdict, Word
from tracker.model.units import DAYS_PER_MONTH

SHORTEST = dt.timedelta(weeks=6)
"""Shorter spans between two changes are not told, as flat stretches of the past are not."""
NO_GAP = dt.timedelta(weeks=4)
"""What lies between two spans and is shorter belongs to the one before (assumption)."""
CLEAR = 0.60
"""Probability from which a past span between flat stretches gets a word; below, none is said (assumption)."""


@dataclass(frozen=True)
class _PastLine:
    """The fitted line without its jumps: day ordinals, level and sd, and per interval P(flat)."""

    days: Floats
    level: Floats
    sd: Floats
    inside: Floats
    band: float

    def rate(self, start: dt.date, end: dt.date) -> tuple[float, float]:
        """Return the mean rate from day to day, percent a month, and its sd.

        The errors of the two ends are taken as independent, which makes the sd of a short span too wide.
        """
        ends = np.array([start.toordinal(), end.toordinal()], float)
        level, sd = np.interp(ends, self.days, self.level), np.interp(ends, self.days, self.sd)
        months = max((ends[1] - ends[0]) / DAYS_PER_MONTH, 1 / DAYS_PER_MONTH)
        return float((level[1] - level[0]) / months), float(np.hypot(*sd) / months)

    def turns(self, start: dt.date, end: dt.date) -> list[dt.date]:
        """Return the days at which the line is higher or lower than at all near ones."""
        inner = (self.days > start.toordinal()) & (self.days < end.toordinal())
        steps = np.sign(np.diff(self.level))
        turned = np.append(np.append(False, steps[1:] * steps[:-1] < 0), False)
        return [dt.date.fromordinal(round(float(day))) for day in self.days[inner & turned]]

    def flat(self, start: dt.date, end: dt.date) -> float:
        """Return the mean probability over the days that the rate was inside the band."""
        days = np.arange(start.toordinal(), max(end.toordinal(), start.toordinal() + 1))
        at = np.clip(np.searchsorted(self.days, days, side="right") - 1, 0, self.inside.size - 1)
        return float(np.clip(self.inside[at].mean(), 0.0, 1.0))


def story(series: Series, answer: Answer, s: int, verdict: Verdict) -> tuple[StorySpan, ...]:
    """Return the spans of one series in order of time, each beginning where the one before ends.

    Parameters
    ----------
    verdict
        Its verdict; the last span says what it says, from the same day on.
    """
    present = _present(verdict)
    if answer.line is None or verdict.lacks:
        return (present,)
    line = answer.line
    ordinals = series.days(s, line.time[s]) + day_date(0.0).toordinal()
    past = _PastLine(ordinals, line.level[s], line.sd[s], line.inside[s], verdict.band)
    found = list(_joined(list(_before(present, verdict, past))))
    told = _ending_in(found, present)
    return replace(told[0], start=verdict.first), *told[1:]


def _present(verdict: Verdict) -> StorySpan:
    """Return the span that lasts to the last test, as the verdict has it."""
    since = verdict.first if verdict.lacks else max(verdict.since, verdict.first)
    ends = (verdict.last, verdict.last)
    if verdict.lacks:
        return StorySpan(
            since, verdict.last, None, since, *ends, current=True,
            word=Word.TOO_EARLY, p=None, rate=None, rate_low=None, rate_high=None,
        )  # fmt: skip
    leaning = verdict.leaning if verdict.verdict is Word.UNDECIDED else None
    return StorySpan(
        since, verdict.last, verdict.since_low, max(verdict.since_high, since), *ends, current=True,
        word=verdict.verdict, p=verdict.p if leaning is None else leaning.p,
        rate=verdict.rate, rate_low=verdict.rate_low, rate_high=verdict.rate_high,
        leaning=None if leaning is None else leaning.word,
    )  # fmt: skip


def _before(present: StorySpan, verdict: Verdict, line: _PastLine) -> Iterator[StorySpan]:
    """Yield the spans before the present one: flat stretches, and what the line did between them."""
    if present.start - verdict.first < NO_GAP:
        return
    cursor = verdict.first
    opened: tuple[dt.date | None, dt.date] = (None, verdict.first)
    for flat in _flats(verdict, present.start):
        start = cursor if flat.start - cursor < NO_GAP else flat.start
        if start > cursor:
            yield from _moving(cursor, start, opened, line, (flat.start_low or cursor, flat.start_high))
        yield _flat(flat, start, line)
        cursor, opened = flat.end, (flat.end_low, flat.end_high)
    if present.start - cursor >= NO_GAP:
        closed = (present.start_low or cursor, present.start_high)
        yield from _moving(cursor, present.start, opened, line, closed)


def _flats(verdict: Verdict, until: dt.date) -> list[FlatStretch]:
    """Return the flat stretches before the present span, cut where they reach into it, near ones joined."""
    found: list[FlatStretch] = []
    for flat in verdict.flat_stretches:
        end = min(flat.end, until)
        if end - flat.start < SHORTEST:
            continue
        if until - end < NO_GAP:
            end = until
        if found and flat.start - found[-1].end < NO_GAP:
            before = found.pop()
            found.append(replace(before, end=end, end_low=flat.end_low, end_high=flat.end_high))
        else:
            found.append(replace(flat, end=end, current=False))
    return found


def _flat(flat: FlatStretch, start: dt.date, line: _PastLine) -> StorySpan:
    rate, sd = line.rate(start, flat.end)
    p = line.flat(start, flat.end)
    return StorySpan(
        start, flat.end, flat.start_low, flat.start_high, flat.end_low, flat.end_high, current=False,
        word=Word.PLATEAU, p=p, rate=rate, rate_low=rate - Z90 * sd, rate_high=rate + Z90 * sd,
    )  # fmt: skip


def _moving(
    start: dt.date,
    end: dt.date,
    opened: tuple[dt.date | None, dt.date],
    line: _PastLine,
    closed: tuple[dt.date, dt.date],
) -> Iterator[StorySpan]:
    """Yield the spans from `start` to `end`, cut where the line turns from one class to another."""
    cuts = [start]
    for turn in line.turns(start, end):
        if turn - cuts[-1] >= SHORTEST and end - turn >= SHORTEST:
            cuts.append(turn)
    pieces: list[tuple[dt.date, dt.date]] = []
    for first, last in pairwise([*cuts, end]):
        if pieces and _named(line, *pieces[-1])[0] == _named(line, first, last)[0]:
            pieces[-1] = pieces[-1][0], last
        else:
            pieces.append((first, last))
    for first, last in pieces:
        word, p, leaning = _named(line, first, last)
        rate, sd = line.rate(first, last)
        low, high = opened if first == start else (first - SHORTEST, first + SHORTEST)
        end_low, end_high = closed if last == end else (last - SHORTEST, last + SHORTEST)
        yield StorySpan(
            first, last, low, high, end_low, end_high, current=False, word=word, p=p,
            rate=rate, rate_low=rate - Z90 * sd, rate_high=rate + Z90 * sd,
            dated=first == start, leaning=leaning,
        )  # fmt: skip


def _named(line: _PastLine, start: dt.date, end: dt.date) -> tuple[Word, float, TrendClass | None]:
    """Return the word of a span by the line's rate, with its probability; undecided below `CLEAR`."""
    rate, sd = line.rate(start, end)
    above, below = _tail((line.band - rate) / sd), _tail((line.band + rate) / sd)
    chances: dict[TrendClass, float] = {
        Word.GAINING: above,
        Word.PLATEAU: max(0.0, 1.0 - above - below),
        Word.SLIPPING: below,
    }
    leading = max(chances, key=lambda word: chances[word])
    if chances[leading] >= CLEAR:
        return leading, chances[leading], None
    return Word.UNDECIDED, chances[leading], leading


def _tail(z: float) -> float:
    """Return the probability that a standard normal lies above `z`."""
    return 0.5 * math.erfc(z / math.sqrt(2.0))


def _ending_in(past: list[StorySpan], present: StorySpan) -> list[StorySpan]:
    """Return the story with its present span.

    A present that may have begun before the record takes in what nothing speaks against: past spans that do
    the same, or nothing with certainty.
    """
    does = present.leaning or present.word
    while past and present.start_low is None and (_does(past[-1]) == does or (past[-1].p or 0) < CLEAR):
        present = replace(present, start=past.pop().start)
    if past:
        past[-1] = replace(past[-1], end=present.start)
    return [*past, present]


def _does(span: StorySpan) -> Word:
    return span.leaning or span.word


def _joined(spans: list[StorySpan]) -> Iterator[StorySpan]:
    """Yield the spans; neighbours of one word are one span, and each ends where the next begins."""
    held: StorySpan | None = None
    for span in spans:
        if held is None:
            held = span
        elif _same(held, span):
            held = replace(
                held, end=span.end, end_low=span.end_low, end_high=span.end_high,
                p=min(p for p in (held.p, span.p) if p is not None),
            )  # fmt: skip
        else:
            yield replace(held, end=span.start)
            held = span
    if held is not None:
        yield held


def _same(one: StorySpan, other: StorySpan) -> bool:
    match one.word:
        case Word.GAINING | Word.PLATEAU | Word.SLIPPING:
            return one.word is other.word
        case Word.UNDECIDED:
            return other.word is Word.UNDECIDED and one.leaning == other.leaning
        case Word.SLOWED | Word.TOO_EARLY:
            return False
        case unknown:
            assert_never(unknown)
