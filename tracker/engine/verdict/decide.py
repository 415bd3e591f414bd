"""Posterior to verdict: a function of the data and the date."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass, replace

import numpy as np

from tracker.engine.series.comparable import Series
from tracker.engine.series.rows import day_date
from tracker.engine.trend.covariates import HIDDEN
from tracker.engine.trend.forecast import Outlook
from tracker.engine.trend.posterior import Answer, Stretch
from tracker.engine.verdict.chart import curve, pace_at, points, present_pace
from tracker.engine.verdict.held import NONE, HeldWords, held_words, long_enough
from tracker.engine.verdict.levels import HELD, Levels, levels_of
from tracker.engine.verdict.story import story
from tracker.engine.verdict.verdict import (
    FIRM,
    FewTests,
    FlatStretch,
    HiddenSwitch,
    Leaning,
    MonthAgo,
    MoreTests,
    NotSure,
    SetAside,
    SetAsideTests,
    ShortRecord,
    Sure,
    TrendClass,
    Verdict,
    VerdictReason,
    Word,
)
from tracker.model.units import DAYS_PER_MONTH
from tracker.settings import Settings

WORDS: tuple[TrendClass, TrendClass, TrendClass] = (Word.GAINING, Word.PLATEAU, Word.SLIPPING)
"""Words of the three classes, in the engine's order."""


@dataclass(frozen=True)
class _Record:
    """How much there is to judge by."""

    tests: int
    weeks: float


def verdicts(
    series: Series,
    answer: Answer,
    outlook: Outlook,
    settings: Settings,
    *,
    as_of: dt.date | None,
    detail: bool,
) -> tuple[Verdict, ...]:
    """Return one verdict a series.

    Parameters
    ----------
    series, answer
        The batch and its posterior.
    outlook
        When a word is likelier than not.
    as_of
        The day that staleness is counted to; None for each swimmer's own last test.
    detail
        Whether points and curve are wanted too.
    """
    levels = levels_of(outlook.gap, settings, learned=answer.priors.learned)
    held = held_words(answer, levels, long_enough(series, answer, settings))
    told = [
        _with_tests_to_tell(_verdict(series, answer, settings, s, as_of, _Spoken(held, levels)), outlook, s)
        for s in range(len(series.names))
    ]
    if not detail:
        return tuple(told)
    return tuple(
        replace(
            verdict,
            points=points(series, answer, s),
            curve=None if verdict.lacks else curve(series, answer, s),
            story=story(series, answer, s, verdict),
        )
        for s, verdict in enumerate(told)
    )


@dataclass(frozen=True)
class _Spoken:
    """The words held, and what they take."""

    held: HeldWords
    levels: Levels

    def word(self, s: int) -> Word:
        """Return the word of series `s`, its record being long enough."""
        number = int(self.held.word[s])
        return Word.UNDECIDED if number == NONE else HELD[number]


def _with_tests_to_tell(verdict: Verdict, outlook: Outlook, s: int) -> Verdict:
    """Return the verdict with the tests it takes to tell, where it does not tell yet."""
    if verdict.verdict in WORDS:
        return verdict
    more = int(outlook.tests[s])
    if more < 0:
        return replace(verdict, reasons=(*verdict.reasons, MoreTests(None)))
    by = verdict.last + dt.timedelta(days=round(float(outlook.months[s]) * DAYS_PER_MONTH))
    return replace(verdict, tests_to_tell=more, known_by=by, reasons=(*verdict.reasons, MoreTests(more)))


def _verdict(
    series: Series, answer: Answer, settings: Settings, s: int, as_of: dt.date | None, spoken: _Spoken
) -> Verdict:
    counted = series.months[s][~answer.set_aside[s, : series.months[s].size]]
    months = counted if counted.size else series.months[s]  # two tests may both be far from any line
    first, last = day_date(series.day(s, months[0])), day_date(series.day(s, months[-1]))
    record = _Record(int(np.unique(counted).size), float((months[-1] - months[0]) * DAYS_PER_MONTH / 7))
    enough = record.tests >= settings.min_tests and record.weeks >= settings.min_weeks
    p = [float(x) for x in answer.p[s]]
    leading = int(np.argmax(answer.p[s]))
    word = spoken.word(s) if enough else Word.TOO_EARLY
    leaning = WORDS[leading]
    onset = _onset(series, answer, s, leading, last)
    since = min(onset.since, last)
    rate_low, rate, rate_high = (float(x) for x in answer.rate[s])
    aside = _set_aside(series, answer, s)
    return Verdict(
        swimmer=series.names[s],
        tests=record.tests,
        first=first,
        last=last,
        as_of=as_of or last,
        stale=as_of is not None and (as_of - last).days > settings.stale_days,
        band=float(answer.band[s]),
        verdict=word,
        p_gaining=p[0],
        p_flat=p[1],
        p_slipping=p[2],
        p_slowed=float(answer.p_slowed[s]),
        since=since,
        since_low=None if onset.low is None else min(onset.low, since),
        since_high=onset.high,
        before_record=onset.before_record,
        rate=rate,
        rate_low=rate_low,
        rate_high=rate_high,
        noise_pct=float(answer.noise[s]),
        held_since=_held_since(series, spoken, s, last) if word.tells else None,
        leaning=Leaning(leaning, p[leading]) if word in {Word.UNDECIDED, Word.SLOWED} else None,
        month_ago=_month_ago(answer, s, last, enough=enough),
        tests_to_tell=None,
        known_by=None,
        present_pace=present_pace(series, answer, s),
        reference=series.kinds[int(answer.reference[s])],
        flat_stretches=_flat(series, answer, s, last) if enough else (),
        set_aside=aside,
        reasons=(
            *_reasons(word, p, record, settings, aside, spoken.levels, s),
            *_switches(series, answer, s),
        ),
    )


@dataclass(frozen=True)
class _Onset:
    """When the present stretch began, with its 90 % interval."""

    since: dt.date
    low: dt.date | None
    high: dt.date
    before_record: bool


def _onset(series: Series, answer: Answer, s: int, leading: int, last: dt.date) -> _Onset:
    """Return the onset of the leading class.

    For a flat present it is the start of the flat stretch that lasts to the last test: a change
    between two rates inside the band is no onset.
    """
    first = day_date(series.day(s, series.months[s][0]))
    present = next((x for x in reversed(_stretches(answer, s)) if x.current), None)
    if WORDS[leading] == Word.PLATEAU and present is not None:
        flat = _stretch(series, s, present, last)
        before = flat.start <= first
        return _Onset(
            flat.start, None if before else flat.start_low, max(flat.start_high, flat.start), before
        )
    before = bool(answer.before_record[s, leading] > 0.5)
    early, mid, late = (day_date(series.day(s, m)) for m in answer.onset[s, leading])
    since = first if before else mid
    opened = before or answer.before_record[s, leading] > 0.05
    return _Onset(since, None if opened else min(early, since), max(late, since), before)


def _held_since(series: Series, spoken: _Spoken, s: int, last: dt.date) -> dt.date:
    return min(day_date(series.day(s, float(spoken.held.since[s]))), last)


def _month_ago(answer: Answer, s: int, last: dt.date, *, enough: bool) -> MonthAgo:
    p = [float(x) for x in answer.month_ago[s]]
    leading = int(np.argmax(p))
    word: Word = WORDS[leading] if p[leading] >= FIRM else Word.UNDECIDED
    return MonthAgo(last - dt.timedelta(days=30), word if enough else Word.TOO_EARLY, *p)


def _reasons(  # noqa: PLR0913, PLR0917 - what the word was made of
    word: Word,
    p: list[float],
    record: _Record,
    settings: Settings,
    aside: tuple[SetAside, ...],
    levels: Levels,
    s: int,
) -> tuple[VerdictReason, ...]:
    reasons: list[VerdictReason] = []
    if record.tests < settings.min_tests:
        reasons.append(FewTests(record.tests, settings.min_tests))
    if record.weeks < settings.min_weeks:
        reasons.append(ShortRecord(record.weeks, settings.min_weeks))
    leading = WORDS[int(np.argmax(p))]
    if word in WORDS:
        said = WORDS[WORDS.index(word)]
        reasons.append(Sure(said, p[WORDS.index(said)], *levels.of(s, said)))
    elif not reasons:
        reasons.append(NotSure(leading, max(p), levels.of(s, leading)[0]))
    if aside:
        reasons.append(SetAsideTests(len(aside), max(a.errors for a in aside)))
    return tuple(reasons)


def _switches(series: Series, answer: Answer, s: int) -> tuple[HiddenSwitch, ...]:
    """Return the switches of pool, suit or test near the onset that the change cannot be separated from."""
    return tuple(
        HiddenSwitch(feature.split(" ", 1)[1])
        for feature, hidden in zip(series.features, answer.alias[s], strict=True)
        if hidden >= HIDDEN
    )


def _set_aside(series: Series, answer: Answer, s: int) -> tuple[SetAside, ...]:
    n = series.months[s].size
    return tuple(
        SetAside(
            day_date(series.day(s, series.months[s][i])),
            abs(float(answer.z[s, i])),
            pace_at(float(series.level[s][i])),
        )
        for i in np.flatnonzero(answer.set_aside[s, :n])
    )


def _flat(series: Series, answer: Answer, s: int, last: dt.date) -> tuple[FlatStretch, ...]:
    return tuple(_stretch(series, s, stretch, last) for stretch in _stretches(answer, s))


def _stretches(answer: Answer, s: int) -> tuple[Stretch, ...]:
    return answer.stretches[s] if answer.stretches else ()


def _stretch(series: Series, s: int, stretch: Stretch, last: dt.date) -> FlatStretch:
    def date(months: float) -> dt.date:
        return day_date(series.day(s, months))

    return FlatStretch(
        min(date(stretch.start), last) if stretch.current else date(stretch.start),
        last if stretch.current else date(stretch.end),
        None if stretch.start_low is None else date(stretch.start_low),
        date(stretch.start_high),
        date(stretch.end_low),
        date(stretch.end_high),
        stretch.current,
    )
