"""The door that a user has: rows to priors, answer and verdict; and what would be said at many looks."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from tests.simulate.seasons import DESIGN, Season
from tests.validation.tally import Floats
from tracker.engine.series.comparable import comparable_series
from tracker.engine.series.conditions import CONDITIONS, Condition, after_breaks, no_conditions
from tracker.engine.series.rows import Rows, sorted_rows
from tracker.engine.trend.analyse import analyse
from tracker.engine.trend.forecast import rhythm
from tracker.engine.trend.observations import Observations
from tracker.engine.trend.posterior import Answer
from tracker.engine.trend.priors import Priors
from tracker.engine.verdict.held import held_words
from tracker.engine.verdict.judge import Case, Days, LearnedPriors, examine, learn_priors, observations_of
from tracker.engine.verdict.levels import levels_of
from tracker.model.units import DAYS_PER_MONTH
from tracker.settings import DEFAULT

Ints = NDArray[np.int64]
FIRST_DAY = 12_000
SPAN = DEFAULT.min_weeks * 7 / DAYS_PER_MONTH
"""Months of record that a verdict needs."""
PORTION = 4096
BREAK = CONDITIONS.index(Condition.BREAK)


def rows_of(swimmers: list[Season], conditions: Floats | None = None) -> Rows:
    """Return the swimmers' tests as the rows that a roster's files become; 90 s per 100 m is level 0.

    What is on record is tests and days, and `conditions` (R, C) where given, in order of swimmers and tests:
    a break of three weeks is one here too, as it is for the tool.
    """
    size = np.array([s.t.size for s in swimmers])
    names = np.repeat(np.array([_name(i) for i in range(len(swimmers))], object), size)
    months, level = np.concatenate([s.t for s in swimmers]), np.concatenate([s.y for s in swimmers])
    made_of = DESIGN[np.concatenate([s.kind for s in swimmers])].astype(int)
    kinds = tuple(
        np.array(pair, object)[made_of[:, i]]
        for i, pair in enumerate((("400 m", "200 m"), ("SCM", "LCM"), ("", "wetsuit")))
    )
    day = FIRST_DAY + np.round(months * DAYS_PER_MONTH).astype(np.int64)
    known = no_conditions(day.size) if conditions is None else conditions.copy()
    known[:, BREAK] = after_breaks(names, day)
    return sorted_rows(names, day, 90.0 * np.exp(-level / 100), np.ones(day.size), kinds, known)


def learned_from(swimmers: list[Season]) -> LearnedPriors:
    """Return what a roster of these swimmers teaches."""
    return learn_priors(rows_of(swimmers), DEFAULT)


def breaks_of(swimmers: list[Season]) -> dict[str, list[int]]:
    """Return the days of return from breaks that cost speed, as a diary of events has them."""
    return {
        _name(i): [FIRST_DAY + round(s.back * DAYS_PER_MONTH)]
        for i, s in enumerate(swimmers)
        if s.back is not None
    }


def case_of(
    swimmers: list[Season],
    learned: LearnedPriors | None = None,
    *,
    events: Days | None = None,
    past: bool = True,
) -> Case:
    """Return the batch with the engine's answer; without `learned` it learns from these swimmers."""
    rows = rows_of(swimmers)
    return examine(rows, learned or learn_priors(rows, DEFAULT, events), DEFAULT, events=events, past=past)


def _name(i: int) -> str:
    return f"s{i:05d}"


def observed_of(swimmers: list[Season], learned: LearnedPriors) -> tuple[Observations, Priors]:
    """Return the swimmers as the engine takes them, and the priors it gets with them."""
    series = comparable_series(rows_of(swimmers), reference=learned.reference)
    offsets = {**series.offsets, **learned.priors.offsets}
    fields = {**learned.priors.__dict__, "offsets": offsets}
    return observations_of(series), Priors(**fields)


@dataclass(frozen=True)
class Looks:
    """What was said at each of L looks, each with the tests up to then and no later ones.

    `owner` (L,) is whose, `month` (L,) when, `tests` (L,) how many days with tests had been seen, `p` (L, 3)
    the class probabilities, `slowed` (L,) that the rate fell, `rate` (L, 3) its interval, `word` (L,) the
    word that the verdict holds, by its place in `levels.HELD`, -1 for none, `enter` and `leave` (L, 4) what
    it takes to say and to keep each. Looks at which the record was too short have no place here.
    """

    owner: Ints
    month: Floats
    tests: Ints
    p: Floats
    slowed: Floats
    rate: Floats
    word: Ints
    enter: Floats
    leave: Floats

    def first(self, word: int, swimmers: int, after: float = 0.0) -> Floats:
        """Return (swimmers,) the month at which a word is first said from `after` on; NaN never."""
        return self._first(self.word == word, swimmers, after)

    def first_not_gaining(self, swimmers: int, after: float = 0.0) -> Floats:
        """Return (swimmers,) the month at which plateau, slipping or slowed is first said."""
        return self._first(self.word > 0, swimmers, after)

    def _first(self, said: NDArray[np.bool_], swimmers: int, after: float) -> Floats:
        found = np.full(swimmers, np.inf)
        chosen = said & (self.month >= after)
        np.minimum.at(found, self.owner[chosen], self.month[chosen])
        return np.where(np.isfinite(found), found, np.nan)


def looks(
    tests: Observations, priors: Priors, *, every: float = 7 / DAYS_PER_MONTH, start: float = 0.0
) -> Looks:
    """Look at each swimmer every `every` months, from `start` or the first possible verdict on.

    A look at which no test is new is left out: it would say the same.
    """
    seen, owner = due(tests, every, start)
    parts = []
    for first in range(0, owner.size, PORTION):
        rows, count = owner[first : first + PORTION], seen[first : first + PORTION]
        some = tests.take(rows).until(count)
        answer = analyse(some, priors)
        levels = levels_of(rhythm(some), DEFAULT, learned=priors.learned)
        word = held_words(answer, levels, enough_at(some, answer)).word
        parts.append((answer.p, answer.p_slowed, answer.rate, word, levels.enter, levels.leave))
    told = (np.concatenate(column) for column in zip(*parts, strict=True))
    days = [np.cumsum(np.diff(tests.t[i, : tests.count[i]], prepend=-1.0) > 0) for i in range(len(tests))]
    number = np.array([days[i][k - 1] for i, k in zip(owner, seen, strict=True)])
    return Looks(owner, tests.t[owner, seen - 1] - tests.t[owner, 0], number, *told)


def enough_at(tests: Observations, answer: Answer) -> NDArray[np.bool_]:
    """Return (S, L) whether a record was long enough at each of the answer's looks."""
    at = answer.looks.time
    days = np.zeros(at.shape)
    for i, n in enumerate(tests.count):
        kept = tests.t[i, :n][~answer.set_aside[i, :n]]
        days[i] = np.searchsorted(np.unique(kept), at[i] + 1e-9, side="right")
    return (days >= DEFAULT.min_tests) & (at - tests.t[:, :1] >= SPAN - 1e-9)


def due(tests: Observations, every: float, start: float = 0.0) -> tuple[Ints, Ints]:
    """Return for each look how many rows are seen and whose they are."""
    counts, owners = [], []
    for i, n in enumerate(tests.count):
        t = tests.t[i, :n] - tests.t[i, 0]
        times = np.arange(max(start, SPAN), t[-1] + every, every)
        seen = np.unique(np.searchsorted(t, times + 1e-9, side="right"))
        days = np.cumsum(np.diff(t, prepend=-1.0) > 0)
        seen = seen[
            (seen > 0) & (days[seen - 1] >= DEFAULT.min_tests) & (t[seen - 1] >= max(start, SPAN) - 1e-9)
        ]
        counts.append(seen)
        owners.append(np.full(seen.size, i))
    return np.concatenate(counts), np.concatenate(owners)
