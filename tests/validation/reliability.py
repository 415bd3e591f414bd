"""Whether the three probabilities are true ones: of those given 0.7, are seven in ten so?"""

from __future__ import annotations

from itertools import pairwise
from typing import TYPE_CHECKING

import numpy as np

from tests.simulate.scoring import BAND
from tests.simulate.stationary import class_of
from tests.validation.dated import dated, size_of, truth_of
from tests.validation.door import case_of
from tests.validation.from_prior import drawn
from tests.validation.part import Part, Scale
from tests.validation.table import Table
from tests.validation.tally import Floats, Share, shown
from tracker.engine.series.protocols import Reference
from tracker.engine.trend.priors import BUILT_IN
from tracker.engine.verdict.judge import LearnedPriors

if TYPE_CHECKING:
    from matplotlib.figure import Figure

SEED, FROM_PRIOR = 9110, 1500
EDGES = (0.0, 0.05, 0.2, 0.4, 0.6, 0.8, 0.9, 0.95, 1.0)
AT_RANDOM_DATES = ("stationary", "quick", "slow", "joint")
CLASSES = ("gaining", "flat", "slipping")
BUILT_IN_TEACHING = LearnedPriors(BUILT_IN, Reference("400 m", "SCM", ""))


def bins(p: Floats, hit: np.ndarray) -> list[tuple[str, float, Share]]:
    """Return for each bin of probability its name, the mean probability and how often it was so."""
    place = np.clip(np.searchsorted(EDGES, p, side="right") - 1, 0, len(EDGES) - 2)
    out = []
    for k, (low, high) in enumerate(pairwise(EDGES)):
        rows = place == k
        mean = float(p[rows].mean()) if rows.any() else float("nan")
        out.append((f"{low:g}-{high:g}", mean, Share(int(hit[rows].sum()), int(rows.sum()))))
    return out


def run(scale: Scale) -> Part:
    """Count on the populations, priors learned, and on draws from the built-in priors."""
    groups: dict[str, tuple[Floats, np.ndarray]] = {}
    for name in AT_RANDOM_DATES:
        roster = dated(name, size_of(name, scale))
        groups[name] = roster.case.answer.p, truth_of(roster.swimmers).now
    rng = np.random.default_rng(SEED)
    swimmers = [drawn(rng, BUILT_IN) for _ in range(scale.of(FROM_PRIOR, 20))]
    p = case_of(swimmers, BUILT_IN_TEACHING).answer.p
    groups["drawn from the built-in priors"] = p, class_of(np.array([s.now for s in swimmers]), BAND)
    rows = tuple(
        (name, CLASSES[c], bin_, f"{mean:.3f}" if hits.of else "–", str(hits.of), shown(hits))
        for name, (p, truth) in groups.items()
        for c in range(3)
        for bin_, mean, hits in bins(p[:, c], truth == c)
    )
    table = Table(
        "reliability",
        "Reliability of the three probabilities",
        "Stationary, quick, slow, joint: the rosters at random dates, priors learned; last: "
        f"{len(swimmers)} swimmers drawn from the built-in priors "
        f"(seed {SEED}), "
        "judged by them, 8-110 tests 7-30 days apart. At the last test; the true rate is above, inside or "
        "below the band of 0.25 %/month.",
        ("population", "class", "said", "mean said", "swimmers", "was so"),
        rows,
    )
    return Part((table,), {"reliability": _figure(groups)})


def _figure(groups: dict[str, tuple[Floats, np.ndarray]]) -> Figure:
    from matplotlib.figure import Figure

    figure = Figure(figsize=(9, 2.9), layout="constrained")
    axes = figure.subplots(1, len(groups), sharey=True)
    for ax, (name, (p, truth)) in zip(axes, groups.items(), strict=True):
        ax.plot([0, 1], [0, 1], color="0.6", linewidth=1)
        for c, (mark, shade) in enumerate((("^", "0.0"), ("s", "0.4"), ("v", "0.65"))):
            found = [(mean, hits) for _, mean, hits in bins(p[:, c], truth == c) if hits.of >= 10]
            ax.errorbar(
                [mean for mean, _ in found], [h.value for _, h in found], [h.error for _, h in found],
                fmt=f"{mark}-", color=shade, markersize=4, linewidth=0.8, label=CLASSES[c],
            )  # fmt: skip
        ax.set(title=name.replace("drawn from the ", ""), xlabel="probability said", xlim=(0, 1), ylim=(0, 1))
    axes[0].set_ylabel("share that was so")
    axes[0].legend(frameon=False, fontsize=8)
    return figure
