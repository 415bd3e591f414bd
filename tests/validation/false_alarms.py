"""How often a swimmer whose rate never changes is called something else, at weekly looks."""

from __future__ import annotations

from itertools import pairwise
from typing import TYPE_CHECKING

import numpy as np

from tests.validation.door import SPAN, Looks, looks, observed_of
from tests.validation.part import CUTS, Part, Scale, both_priors
from tests.validation.plan import Plan, many
from tests.validation.table import Table
from tests.validation.tally import Rate, shown
from tracker.engine.series.protocols import Reference
from tracker.engine.trend.priors import Priors
from tracker.engine.verdict.judge import LearnedPriors

if TYPE_CHECKING:
    from matplotlib.figure import Figure

SEED, SIZE, MONTHS = 9120, 240, 24.0
RATES = (0.0, 0.3, 0.5, 0.75, 1.0)
PERIODS = (SPAN, 3.5, 5.0, 8.0, 12.0, 24.5)
"""Months of record at which a first false plateau is counted."""
KINDS = ("gain", "plateau", "slip")


def steady(scale: Scale, rate: float, priors: Priors) -> tuple[Looks, int]:
    """Return the looks at swimmers of one rate, and how many they are; the same swimmers for all priors."""
    rng = np.random.default_rng((SEED, int(100 * rate)))
    swimmers = many(rng, scale.of(SIZE), Plan(before=rate, after=rate, months=MONTHS))
    return looks(*observed_of(swimmers, LearnedPriors(priors, Reference("400 m", "SCM", "")))), len(swimmers)


def ever(seen: Looks, kind: int, cut: float, swimmers: int) -> Rate:
    """Return swimmers ever called `kind`, per swimmer-year looked at."""
    first = seen.first(kind, cut, swimmers)
    return Rate(int(np.isfinite(first).sum()), swimmers * (MONTHS - SPAN) / 12)


def by_period(seen: Looks, kind: int, cut: float, swimmers: int) -> list[Rate]:
    """Return first calls in each period, per swimmer-year in it."""
    first = seen.first(kind, cut, swimmers)
    return [
        Rate(int(((first >= low) & (first < high)).sum()), swimmers * (min(high, MONTHS) - low) / 12)
        for low, high in pairwise(PERIODS)
    ]


def run(scale: Scale) -> Part:
    """Look at steady swimmers every week for two years."""
    rows, when = [], []
    curves: dict[tuple[float, str], list[Rate]] = {}
    size = scale.of(SIZE)
    for name, priors in both_priors(scale).items():
        for rate in scale.some(RATES):
            seen, n = steady(scale, rate, priors)
            for cut in CUTS:
                cells = [
                    "–" if KINDS[kind] == right(rate) else shown(ever(seen, kind, cut, n))
                    for kind in range(3)
                ]
                rows.append((f"{rate:g}", name, f"{cut:.2f}", *cells))
            if rate > 0:
                curves[rate, name] = by_period(seen, 1, CUTS[0], n)
                when.append((f"{rate:g}", name, *(f"{shown(r)} ({r.events})" for r in curves[rate, name]),
                             _tests_at(seen, n)))  # fmt: skip
    conditions = (
        f"{size} swimmers a rate (seed {SEED}), weekly tests for {MONTHS:g} months, one in ten missed, noise "
        "0.8-1.4 % (a third each normal, t4, slow days), looked at every week. Learned: from a "
        "mixed roster of 300 "
        "gaining 0.3-1.2 %/month."
    )
    every = Table(
        "false_alarms", "False verdicts per swimmer-year, weekly looks",
        conditions + " Ever called so within the two years, per year looked at; ± Poisson error.",
        ("true %/month", "priors", "cut", "called gaining", "called plateau", "called slipping"), tuple(rows),
    )  # fmt: skip
    periods = Table(
        "false_plateaus_when", "When false plateaus are first said, cut 0.80",
        conditions + " Per swimmer-year within each span of the record; number in brackets.",
        ("true %/month", "priors", "10 weeks-3.5 months", "3.5-5", "5-8", "8-12", "12-24",
         "tests seen at the first: median (90 %)"), tuple(when),
    )  # fmt: skip
    return Part((every, periods), {"false_plateaus": _figure(curves)})


def right(rate: float) -> str:
    """Return the word that would be true."""
    return "gain" if rate > 0.25 else "plateau"


def _tests_at(seen: Looks, swimmers: int) -> str:
    first = seen.first(1, CUTS[0], swimmers)
    hit = np.isfinite(first[seen.owner]) & (seen.month == first[seen.owner])
    if not hit.any():
        return "–"
    return "{:.0f} ({:.0f})".format(*np.quantile(seen.tests[hit], [0.5, 0.9]))


def _figure(curves: dict[tuple[float, str], list[Rate]]) -> Figure:
    from matplotlib.figure import Figure

    figure = Figure(figsize=(7, 2.9), layout="constrained")
    axes = figure.subplots(1, 2, sharey=True)
    middles = [(a + b) / 2 for a, b in zip(PERIODS, (*PERIODS[1:-1], MONTHS), strict=False)]
    marks = {0.3: ("o", "0.0"), 0.5: ("s", "0.25"), 0.75: ("^", "0.5"), 1.0: ("v", "0.7")}
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
