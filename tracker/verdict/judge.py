"""Comparable series to verdicts: the engine is told the series, and answers in words."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace

from tracker.series.comparable import Series
from tracker.settings import Settings
from tracker.trend.analyse import analyse
from tracker.trend.learn import learn
from tracker.trend.observations import Observations, observations_from_lists
from tracker.trend.priors import BUILT_IN, Priors
from tracker.verdict.decide import verdicts
from tracker.verdict.verdict import Verdict


def observed(series: Series) -> Observations:
    """Return the series as the engine takes them."""
    return observations_from_lists(
        series.months,
        series.level,
        weight=series.weight,
        kind=series.kind,
        jumps=series.jumps,
        design=series.design,
        features=series.features,
    )


def priors_for(series: Series, settings: Settings) -> Priors:
    """Return priors learned from the batch where it is a roster, else the built-in ones."""
    start = replace(BUILT_IN, offsets=dict(series.offsets), band=settings.band)
    return learn(observed(series), start)


def judge_series(
    series: Series,
    settings: Settings,
    *,
    priors: Priors,
    as_of: dt.date | None = None,
    detail: bool = False,
) -> tuple[Verdict, ...]:
    """Return one verdict a series, in the order of `series.names`."""
    answer = analyse(observed(series), priors, band=settings.band, past=True)
    return verdicts(series, answer, settings, as_of=as_of, detail=detail)
