"""Judge a batch of series: the entry point of the engine, with built-in or learned priors."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from tracker.engine.series.comparable import Series, comparable_series
from tracker.engine.series.protocols import Reference
from tracker.engine.series.rows import Rows
from tracker.engine.trend.analyse import analyse
from tracker.engine.trend.forecast import rhythm, until_verdict
from tracker.engine.trend.learn import Each, learn
from tracker.engine.trend.observations import Observations, observations_from_lists
from tracker.engine.trend.posterior import Answer
from tracker.engine.trend.priors import BUILT_IN, Priors
from tracker.engine.trend.roster_opinion import RosterOpinion
from tracker.engine.verdict.decide import verdicts
from tracker.engine.verdict.forecast import Aim, with_forecast
from tracker.engine.verdict.levels import levels_of
from tracker.engine.verdict.verdict import Verdict
from tracker.model.units import DAYS_PER_MONTH
from tracker.settings import Settings

Days = Mapping[str, Sequence[int]]
"""Swimmer -> day numbers of dated events at which the level may jump."""


LIKELY = 0.5
"""Chance of a word from which it is "likely": more so than not."""


@dataclass(frozen=True)
class LearnedPriors:
    """What was learned from a roster: priors, and the kind of test that its offsets are relative to."""

    priors: Priors
    reference: Reference


@dataclass(frozen=True)
class Case:
    """A batch as the engine saw it, for those who look closer."""

    series: Series
    observations: Observations
    answer: Answer
    learned: LearnedPriors


def learn_priors(
    rows: Rows, settings: Settings, events: Days | None = None, each: Each = map
) -> LearnedPriors:
    """Return what the rows teach where they are a roster (30 swimmers), else what is built in.

    Parameters
    ----------
    each
        Who does the batches of a round of learning; what is learned is the same.
    """
    series = comparable_series(rows, events)
    start = replace(
        BUILT_IN, offsets=dict(series.offsets), noise_ratio=dict(series.noise), band=settings.band
    )
    return LearnedPriors(learn(observations_of(series), start, each=each), series.reference)


def examine(
    rows: Rows, learned: LearnedPriors, settings: Settings, *, events: Days | None = None, past: bool = True
) -> Case:
    """Return the batch of the rows with the engine's answer.

    Parameters
    ----------
    past
        Whether flat stretches and the fitted line are wanted.
    """
    series = comparable_series(rows, events, learned.reference)
    # A kind that the roster did not have keeps its published offset.
    priors = replace(
        learned.priors,
        offsets={**series.offsets, **learned.priors.offsets},
        noise_ratio={**series.noise, **learned.priors.noise_ratio},
    )
    observations = observations_of(series)
    answer = analyse(observations, priors, band=settings.band, past=past)
    return Case(series, observations, answer, LearnedPriors(priors, learned.reference))


def judge_case(
    case: Case,
    settings: Settings,
    *,
    as_of: dt.date | None = None,
    detail: bool = False,
    aims: Mapping[str, Aim] | None = None,
) -> tuple[Verdict, ...]:
    """Return one verdict a series, in the order of their names.

    Parameters
    ----------
    as_of
        The day that staleness is counted to; None for each swimmer's own last test.
    detail
        Whether the verdicts carry points, curve and what is to come.
    aims
        Swimmer -> target, for the chance of reaching it.
    """
    gap = rhythm(case.observations)
    levels = levels_of(gap, settings, learned=case.answer.priors.learned)
    outlook = until_verdict(
        case.observations, case.answer, levels.enter[:, :3], gap=gap, chance=LIKELY,
        least=least_record(settings),
    )  # fmt: skip
    found = verdicts(case.series, case.answer, outlook, settings, as_of=as_of, detail=detail)
    return with_forecast(found, case.series, case.answer, aims or {}) if detail else found


def least_record(settings: Settings) -> tuple[int, float]:
    """Return the test days and months that a record must have before a verdict is spoken."""
    return settings.min_tests, settings.min_weeks * 7 / DAYS_PER_MONTH


def observations_of(series: Series) -> Observations:
    """Return the series as the engine takes them."""
    return observations_from_lists(
        series.months,
        series.level,
        weight=series.weight,
        kind=series.kind,
        jumps=series.jumps,
        design=series.design,
        features=series.features,
        plain=series.plain,
    )


@dataclass(frozen=True)
class PriorsReport:
    """Priors learned from the roster, or built in; `opinion` is None where `missing` says why."""

    learned: LearnedPriors
    band: float
    opinion: RosterOpinion | None
    swimmers: int
    missing: str = ""
