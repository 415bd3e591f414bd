"""A closer look at the swimmer on display: what other models, other priors and the tests' repeats say."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass

import numpy as np

from tracker.engine.series.rows import day_date
from tracker.engine.trend.forecast import rhythm, soonest
from tracker.engine.trend.reliability import Reliability, from_pairs
from tracker.engine.trend.second_opinion import Opinion, second_opinion
from tracker.engine.trend.sensitivity import Drift, drifts, under_other_priors
from tracker.engine.verdict.decide import WORDS
from tracker.engine.verdict.held import NONE, HeldWords, held_words, long_enough
from tracker.engine.verdict.judge import LIKELY, Case, least_record
from tracker.engine.verdict.levels import HELD, Levels, levels_of
from tracker.engine.verdict.verdict import Verdict, Word
from tracker.model.units import DAYS_PER_MONTH
from tracker.settings import Settings

PAIR_DAYS = 10
"""Two tests of one kind at most so far apart are repeats: the line moves by less than a typical error."""


@dataclass(frozen=True)
class UnderPrior:
    """The word under another prior; None where none is held."""

    expects: str
    word: Word | None


@dataclass(frozen=True)
class Rhythm:
    """How long until a verdict at some rhythm of testing; `tests` and `by` None where a year would not do."""

    name: str
    tests: int | None
    by: dt.date | None


@dataclass(frozen=True)
class SecondLook:
    """What a closer look at one swimmer adds.

    Attributes
    ----------
    opinions
        Of statsmodels' models, each with its caveat.
    others
        The word under two other priors.
    drifts
        Kinds of test that move apart from the rest.
    rhythms
        Where there is no verdict yet: how soon one is likely, by rhythm.
    repeats
        Test noise from repeats of one kind within `PAIR_DAYS`; None with fewer than three pairs.
    correlated
        Share of variance that neighbouring weeks have in common.
    basis
        Where the priors come from.
    """

    opinions: tuple[Opinion, ...]
    others: tuple[UnderPrior, ...]
    drifts: tuple[Drift, ...]
    rhythms: tuple[Rhythm, ...]
    repeats: Reliability | None
    correlated: float
    basis: str

    def depends_on_prior(self, verdict: Verdict) -> Word | None:
        """Return a class that another prior would give instead; None if the word holds under both."""
        for other in self.others:
            if other.word != verdict.verdict and verdict.verdict in WORDS:
                return other.word or Word.UNDECIDED
        return None


def second_look(case: Case, verdict: Verdict, settings: Settings) -> SecondLook:
    """Return the closer look at the one series of a case."""
    beliefs = under_other_priors(case.observations, case.learned.priors, band=settings.band)
    levels = levels_of(rhythm(case.observations), settings, learned=case.learned.priors.learned)
    others = tuple(
        UnderPrior(
            other.priors.version, _word(held_words(other, levels, long_enough(case.series, other, settings)))
        )
        for other in (beliefs.slower, beliefs.faster)
    )
    return SecondLook(
        second_opinion(case.observations, case.answer),
        others,
        tuple(drift for drift in drifts(case.observations, case.answer) if drift.apart),
        () if verdict.verdict in WORDS else _rhythms(case, settings, levels),
        _repeats(case),
        float(case.answer.correlated[0]),
        case.learned.priors.version,
    )


def _word(held: HeldWords) -> Word | None:
    number = int(held.word[0])
    return None if number == NONE else HELD[number]


def _rhythms(case: Case, settings: Settings, levels: Levels) -> tuple[Rhythm, ...]:
    last = float(case.series.months[0][-1])
    found = []
    least = least_record(settings)
    for name, outlook in soonest(
        case.observations, case.answer, levels.enter[:, :3], chance=LIKELY, least=least
    ):
        tests = int(outlook.tests[0])
        if tests < 0:
            found.append(Rhythm(name, None, None))
        else:
            by = day_date(case.series.day(0, last + float(outlook.months[0])))
            found.append(Rhythm(name, tests, by))
    return tuple(found)


def _repeats(case: Case) -> Reliability | None:
    """Return the noise from pairs of neighbouring tests of one kind, each used once, none set aside."""
    series = case.series
    kept = ~case.answer.set_aside[0, : series.months[0].size]
    months, level, kind = (column[0][kept] for column in (series.months, series.level, series.kind))
    days = np.round(months * DAYS_PER_MONTH)
    first: list[float] = []
    second: list[float] = []
    for one in np.unique(kind):
        rows = np.flatnonzero(kind == one)
        place = 0
        while place + 1 < rows.size:
            a, b = rows[place], rows[place + 1]
            if 0 < days[b] - days[a] <= PAIR_DAYS:
                first.append(float(np.exp(-level[a] / 100)))
                second.append(float(np.exp(-level[b] / 100)))
                place += 2
            else:
                place += 1
    return from_pairs(first, second)
