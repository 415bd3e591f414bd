"""How often a swimmer whose rate never changes is called something else, at weekly looks."""

from __future__ import annotations

from itertools import pairwise
from typing import TYPE_CHECKING

import numpy as np

from tests.validation.detection import PLATEAU
from tests.validation.door import SPAN, Looks, looks, observed_of
from tests.validation.part import Part, Scale, both_priors
from tests.validation.plan import Plan, many
from tests.validation.table import Table
from tests.validation.tally import Rate, shown
from tracker.engine.series.protocols import Reference
from tracker.engine.trend.priors import Priors
from tracker.engine.verdict.judge import LearnedPriors

if TYPE_CHECKING:
    from matplotlib.figure import Figure

SEED, SIZE, MONTHS = 9120, 120, 24.0
RATES = (0.0, 0.3, 0.5, 0.75)
SHARED = 0.5
"""Share of variance that weeks have in common where they are correlated, over one month."""
WEEKS = {"plain": 0.0, "correlated": SHARED}
CORRELATED_RATES = (0.0, 0.5)
PERIODS = (SPAN, 3.5, 5.0, 8.0, 12.0, 24.5)
"""Months of record at which a first false plateau is counted."""
KINDS = ("gain", "plateau", "slip", "slowed")


def steady(scale: Scale, rate: float, shared: float, priors: Priors) -> tuple[Looks, int]:
    """Return the looks at swimmers of one rate, and how many they are; the same swimmers for all priors."""
    rng = np.random.default_rng((SEED, int(100 * rate)))
    plan = Plan(before=rate, after=rate, months=MONTHS, shared=shared)
    swimmers = many(rng, scale.of(SIZE), plan)
    return looks(*observed_of(swimmers, LearnedPriors(priors, Reference("400 m", "SCM", "")))), len(swimmers)


def ever(seen: Looks, word: int, swimmers: int) -> Rate:
    """Return swimmers ever told `word`, per swimmer-year looked at."""
    first = seen.first(word, swimmers)
    return Rate(int(np.isfinite(first).sum()), swimmers * (MONTHS - SPAN) / 12)


def by_period(seen: Looks, word: int, swimmers: int) -> list[Rate]:
    """Return first words in each period, per swimmer-year in it."""
    first = seen.first(word, swimmers)
    return [
        Rate(int(((first >= low) & (first < high)).sum()), swimmers * (min(high, MONTHS) - low) / 12)
        for low, high in pairwise(PERIODS)
    ]


def run(scale: Scale) -> Part:
    """Look at steady swimmers every week for two years."""
    rows, when = [], []
    curves: dict[tuple[float, str], list[Rate]] = {}
    size = scale.of(SIZE)
    worlds = [(rate, weeks) for weeks in WEEKS for rate in (RATES if weeks == "plain" else CORRELATED_RATES)]
    for name, priors in both_priors(scale).items():
        for rate, weeks in worlds:
            seen, n = steady(scale, rate, WEEKS[weeks], priors)
            cells = [
                "–" if KINDS[word] == right(rate) else shown(ever(seen, word, n))
                for word in range(len(KINDS))
            ]
            rows.append((f"{rate:g}", weeks, name, *cells))
            if rate > 0 and weeks == "plain":
                curves[rate, name] = by_period(seen, PLATEAU, n)
                when.append((f"{rate:g}", name, *(f"{shown(r)} ({r.events})" for r in curves[rate, name]),
                             _tests_at(seen, n)))  # fmt: skip
    conditions = (
        f"{size} swimmers a rate (seed {SEED}), weekly tests for {MONTHS:g} months, one in ten missed, noise "
        "0.8-1.4 % (a third each normal, t4, slow days), looked at every week; the word that the verdict "
        f"holds. Correlated: {100 * SHARED:g} % of the variance shared over one month. Learned: from a mixed "
        "roster of 300 gaining 0.3-1.2 %/month, whose weeks are not correlated."
    )
    every = Table(
        "false_alarms", "False words per swimmer-year, weekly looks",
        conditions + " Ever told so within the two years, per year looked at; ± Poisson error.",
        ("true %/month", "weeks", "priors", "called gaining", "called plateau", "called slipping",
         "called slowed"), tuple(rows),
    )  # fmt: skip
    periods = Table(
        "false_plateaus_when", "When false plateaus are first said",
        conditions + " Per swimmer-year within each span of the record; number in brackets.",
        ("true %/month", "priors", "10 weeks-3.5 months", "3.5-5", "5-8", "8-12", "12-24",
         "tests seen at the first: median (90 %)"), tuple(when),
    )  # fmt: skip
    return Part((every, periods), {"false_plateaus": _figure(curves)})


def right(rate: float) -> str:
    """Return the word that would be true."""
    return "gain" if rate > 0.25 else "plateau"


def _tests_at(seen: Looks, swimmers: int) -> str:
    first = seen.first(PLATEAU, swimmers)
    hit = np.isfinite(first[seen.owner]) & (seen.month == first[seen.owner])
    if not hit.any():
        return "–"
    return "{:.0f} ({:.0f})".format(*np.quantile(seen.tests[hit], [0.5, 0.9]))


def _figure(curves: dict[tuple[float, str], list[Rate]]) -> Figure:
    from matplotlib.figure import Figure

    figure = Figure(figsize=(7, 2.9), layout="constrained")
    axes = figure.subplots(1, 2, sharey=True)
    middles = [(a + b) / 2 for a, b in zip(PERIODS, (*PERIODS[1:-1], MONTHS), strict=False)]
    marks = {0.3: ("o", "0.0"), 0.5: ("s", "0.25"), 0.75: ("^", "0.5")}
    for ax, name in zip(axes, ("built in", "learned"), strict=True):
        for (rate, _), found in ((key, rates) for key, rates in curves.items() if key[1] == name):
            mark, shade = marks[rate]
            ax.errorbar(middles, [r.value for r in found], [r.error for r in found], fmt=f"{mark}-",
                        color=shade, markersize=4, linewidth=0.8, label=f"{rate:g} %/month")  # fmt: skip
        ax.axhline(0.05, color="0.6", linestyle=":", linewidth=1)
        ax.set(title=f"priors {name}", xlabel="months of record", ylim=(0, None))
    axes[0].set_ylabel("first false plateaus\nper swimmer-year")
    axes[1].legend(frameon=False, fontsize=8)
    return figure
