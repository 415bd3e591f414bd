"""How soon a plateau is named after the progress has stopped, by rhythm of tests."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from tests.validation.door import Looks, looks, observed_of
from tests.validation.part import Part, Scale, both_priors
from tests.validation.plan import Plan, many
from tests.validation.table import Table
from tests.validation.tally import Floats, median_error, plus_minus, share, shown
from tracker.engine.series.protocols import Reference
from tracker.engine.verdict.judge import LearnedPriors

if TYPE_CHECKING:
    from matplotlib.figure import Figure

SEED, SIZE = 9130, 100
CHANGE, MONTHS = 12.0, 26.0
FROM = 6.0
"""Month of the first look."""
PLATEAU = 1
"""Its place among the words that are held."""
BY = (2, 3, 4, 6, 8, 10, 12, 14)
RHYTHMS = {"weekly": 7, "fortnightly": 14, "monthly": 30}
RATES = (0.6,)
PLAIN = Reference("400 m", "SCM", "")


def delay(first: Floats, change: float = CHANGE) -> Floats:
    """Return months from the change to the first call; infinite where none came."""
    return np.where(np.isfinite(first), first - change, np.inf)


def median_delay(late: Floats, longest: float) -> str:
    """Return the median delay with its error, or that it lies beyond what was watched."""
    middle = float(np.median(late))
    if middle > longest:
        return f"> {longest:g}"
    return plus_minus(middle, median_error(np.where(np.isfinite(late), late, longest)), 1)


def row_of(seen: Looks, swimmers: int, longest: float) -> tuple[str, ...]:
    """Return shares named by each month, the median, "not gaining" at 4 and 6 months, false ones before."""
    late = delay(seen.first(PLATEAU, swimmers, CHANGE))
    other = delay(seen.first_not_gaining(swimmers, CHANGE))
    before = share(seen.first(PLATEAU, swimmers) < CHANGE)
    return (
        *(shown(share(late <= k), 2) for k in BY),
        median_delay(late, longest),
        shown(share(other <= 4), 2),
        shown(share(other <= 6), 2),
        shown(before, 3),
    )


HEADS = (
    *(f"by {k} months" for k in BY),
    "median, months",
    "slowed, plateau or slipping by 4",
    "the same by 6",
    "called plateau before",
)


def run(scale: Scale) -> Part:
    """Stop the progress at month 12 and look at every test from there on."""
    rows = []
    curves: dict[str, Floats] = {}
    for name, priors in both_priors(scale).items():
        for rate in RATES:
            for rhythm, gap in RHYTHMS.items():
                rng = np.random.default_rng((SEED, int(10 * rate), gap))
                plan = Plan(before=rate, after=0.0, change=CHANGE, months=MONTHS, gap=gap)
                swimmers = many(rng, scale.of(SIZE), plan)
                seen = looks(*observed_of(swimmers, LearnedPriors(priors, PLAIN)), start=FROM)
                rows.append((f"{rate:g}", name, rhythm, *row_of(seen, len(swimmers), MONTHS - CHANGE)))
                if name == "learned":
                    curves[f"{rate:g}, {rhythm}"] = delay(seen.first(PLATEAU, len(swimmers), CHANGE))
    table = Table(
        "detection",
        "Plateaus named, by months after the progress stopped",
        f"{scale.of(SIZE)} swimmers a row (seed {SEED}; the same for both priors) gain steadily for "
        "12 months, "
        f"then stop at once (rate 0) for {MONTHS - CHANGE:g}; noise 0.8-1.4 % (a third each normal, "
        "t4, slow days), one "
        "test in ten missed; looked at as tests come, at most weekly; the word held, at the levels of each "
        "rhythm, from month 6 on. Ever said by then.",
        ("from %/month", "priors", "tests", *HEADS),
        tuple(rows),
    )
    return Part((table,), {"detection": _figure(curves)})


def _figure(curves: dict[str, Floats]) -> Figure:
    from matplotlib.figure import Figure

    figure = Figure(figsize=(5.5, 3.2), layout="constrained")
    ax = figure.subplots()
    grid = np.linspace(0, MONTHS - CHANGE, 57)
    for i, (name, late) in enumerate(curves.items()):
        ax.plot(grid, [(late <= m).mean() for m in grid], label=name, linewidth=1.2,
                color=("0.0", "0.55")[i // 3], linestyle=("-", "--", ":")[i % 3])  # fmt: skip
    ax.set(xlabel="months after the progress stopped", ylabel="share named a plateau", ylim=(0, 1))
    ax.legend(frameon=False, fontsize=8, title="from %/month, tests")
    return figure
