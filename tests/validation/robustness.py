"""What each trouble alone does to error rates, detection and intervals."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from tests.validation.detection import CHANGE, MONTHS, PLAIN, PLATEAU, delay, median_delay
from tests.validation.door import Looks, looks, observed_of
from tests.validation.part import Part, Scale
from tests.validation.plan import Plan, many
from tests.validation.table import Table
from tests.validation.tally import Rate, share, shown
from tracker.engine.trend.analyse import analyse
from tracker.engine.trend.forecast import rhythm
from tracker.engine.trend.priors import BUILT_IN, Priors
from tracker.engine.verdict.judge import LearnedPriors
from tracker.engine.verdict.levels import levels_of
from tracker.model.units import DAYS_PER_MONTH
from tracker.settings import DEFAULT

SEED, SIZE = 9140, 24
FORTNIGHT = 14 / DAYS_PER_MONTH
STEADY = 0.6
PLAIN_PLAN = Plan(law="normal")
TROUBLES: dict[str, tuple[Plan, Priors]] = {
    "none (normal errors)": (PLAIN_PLAN, BUILT_IN),
    "mixed errors": (Plan(), BUILT_IN),
    "strong skew (exponential slow side)": (Plan(law="skew"), BUILT_IN),
    "t with 3 df": (Plan(law="t3"), BUILT_IN),
    "2 % typing errors of 8-30 %": (replace(PLAIN_PLAN, typing=0.02), BUILT_IN),
    "correlated weeks, 30 % over 1 month": (replace(PLAIN_PLAN, shared=0.3), BUILT_IN),
    "correlated weeks, 50 % over 2 months": (replace(PLAIN_PLAN, shared=0.5, shared_months=2.0), BUILT_IN),
    "season ±0.5 %": (replace(PLAIN_PLAN, season=0.5), BUILT_IN),
    "season ±1 %": (replace(PLAIN_PLAN, season=1.0), BUILT_IN),
    "prior expects half the progress": (PLAIN_PLAN, replace(BUILT_IN, slope_mean=(0.3, 0.0, -0.6))),
    "prior expects twice the progress": (PLAIN_PLAN, replace(BUILT_IN, slope_mean=(1.2, 0.0, -0.6))),
    "slow-down spread over 3 months": (replace(PLAIN_PLAN, slowing=3.0), BUILT_IN),
    "slow-down spread over 6 months": (replace(PLAIN_PLAN, slowing=6.0), BUILT_IN),
    "two unmarked lay-offs, -1.5 % each": (replace(PLAIN_PLAN, step=1.5), BUILT_IN),
    "two gaps of ten weeks": (replace(PLAIN_PLAN, holes=2), BUILT_IN),
    "paces in whole seconds per 100 m": (replace(PLAIN_PLAN, rounded=True), BUILT_IN),
    "noise 2-3 %": (replace(PLAIN_PLAN, noise=(2.0, 3.0)), BUILT_IN),
}


def run(scale: Scale) -> Part:
    """Steady gainers and stoppers under each trouble."""
    rows = tuple((name, *_row(scale, plan, priors)) for name, (plan, priors) in scale.some(TROUBLES.items()))
    table = Table(
        "robustness",
        "One trouble at a time",
        f"Each row: {scale.of(SIZE)} steady gainers of {STEADY} %/month over 24 months and as many "
        "who stop at month 12 "
        f"and are watched for {MONTHS - CHANGE:g} more (seed {SEED}); weekly tests, noise 0.8-1.4 % "
        "unless said; priors built in; "
        "the word held; looks every fortnight. Rates are per swimmer-year, ever so called. Rate "
        "interval: steady gainers at "
        "month 24 and stoppers at month 20 together; onset (engine) of stoppers called plateau at month 20.",
        ("trouble", "gainers called plateau", "gainers called slipping", "stoppers named by 6 months", "by 9",
         "by 12", "median, months", "stoppers called slipping", "90 % rate interval", "90 % onset interval"),
        rows,
    )  # fmt: skip
    return Part((table,))


def _row(scale: Scale, plan: Plan, priors: Priors) -> tuple[str, ...]:
    rng = np.random.default_rng(SEED)
    size = scale.of(SIZE)
    steady = observed_of(
        many(rng, size, replace(plan, before=STEADY, after=STEADY)), LearnedPriors(priors, PLAIN)
    )
    stopped = many(rng, size, replace(plan, before=STEADY, after=0.0, change=CHANGE, months=MONTHS))
    tests, _ = observed_of(stopped, LearnedPriors(priors, PLAIN))
    gainers, stoppers = looks(*steady, every=FORTNIGHT), looks(tests, priors, every=FORTNIGHT, start=CHANGE)
    end = analyse(steady[0], priors).rate
    seen = analyse(tests.until((tests.t <= CHANGE + 8).sum(axis=1)), priors)
    now = np.array([s.rate[round((CHANGE + 8) * DAYS_PER_MONTH)] for s in stopped])
    held = np.concatenate([(end[:, 0] <= STEADY) & (end[:, 2] >= STEADY),
                           (seen.rate[:, 0] <= now) & (seen.rate[:, 2] >= now)])  # fmt: skip
    named = seen.p_flat >= levels_of(rhythm(tests), DEFAULT, learned=False).enter[:, PLATEAU]
    onset = seen.onset[named, 1]
    begun = CHANGE + plan.slowing * (STEADY - 0.2) / STEADY
    late = delay(stoppers.first(PLATEAU, size, CHANGE))
    return (
        shown(_ever(gainers, 1, size, 24.0)), shown(_ever(gainers, 2, size, 24.0)),
        *(shown(share(late <= k), 2) for k in (6, 9, 12)), median_delay(late, MONTHS - CHANGE),
        shown(_ever(stoppers, 2, size, MONTHS - CHANGE)), shown(share(held)),
        shown(share((onset[:, 0] <= begun) & (onset[:, 2] >= begun))) + f" ({named.sum()})",
    )  # fmt: skip


def _ever(seen: Looks, kind: int, swimmers: int, months: float) -> Rate:
    return Rate(int(np.isfinite(seen.first(kind, swimmers)).sum()), swimmers * months / 12)
