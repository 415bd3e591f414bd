"""The same swimmers given to what one would use otherwise, false alarms matched."""

from __future__ import annotations

import time
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from importlib.util import find_spec

import numpy as np

from tests.simulate.scoring import WEEKS, Spanned, auc, f1_of, matches
from tests.simulate.seasons import STILL, Season, seasons
from tests.validation.door import case_of, observed_of
from tests.validation.other_ways import WAYS, Said
from tests.validation.part import Part, Scale
from tests.validation.populations import LONGER, STYLES, THRESHOLD, from_first_test
from tests.validation.table import Table
from tests.validation.tally import Floats, plus_minus, resampled
from tracker.engine.trend.analyse import analyse

SEED, SIZE = 9160, 240
FALSE = 0.05
LIMITS = tuple(k / 10 for k in range(1, 11))
"""Slopes, percent per month, up to which another way's piece may count as flat: the best is taken."""
POPULATIONS = {
    "quick": (STYLES["quick"], THRESHOLD["quick"]),
    "quick, longer spells": (LONGER, THRESHOLD["quick"]),
    "slow": (STYLES["slow"], THRESHOLD["slow"]),
}
FIGURES = (
    "AUC", "plateaus of 12-20 weeks named", "of 8-20 weeks", "of 20 weeks or longer",
    "F1 of flat stretches", "their start off by, weeks", "ms a swimmer",
)  # fmt: skip
Stretches = Sequence[Sequence[Spanned]]


@dataclass(frozen=True)
class WayAnswer:
    """What a way says of all swimmers: P(flat), stretches by the limit they go by, milliseconds each."""

    p: Floats
    stretches: Sequence[Stretches]
    spent: float


def run(scale: Scale) -> Part:
    """Score all ways on quick and slow rosters."""
    size = scale.of(SIZE, 4)
    rows = []
    for name, (style, threshold) in POPULATIONS.items():
        rng = np.random.default_rng((SEED, len(name)))
        swimmers = [from_first_test(s) for s in seasons(rng, size, style)]
        for way, told in _asked(swimmers).items():
            rows.append((name, way, *_row(swimmers, threshold, told)))
    table = Table(
        "against_others",
        "The same swimmers given to other ways",
        f"{size} swimmers of each population (seed {SEED}), at the last test of each. Longer spells: 40 "
        "weeks on average instead of 26. P(flat) by each way: the mass of its present rate's distribution "
        "inside the band. AUC: flat for 8 weeks or longer against moving faster than 0.5 (quick) or 0.3 "
        f"(slow) %/month. Named: at the cut at which {100 * FALSE:g} % of the moving are called flat. "
        "In brackets: plateaus counted. Flat stretches: 6 weeks or longer, found at half overlap; for the "
        "others the pieces no steeper than 0.1, 0.2, ... 1.0 %/month, whichever gives the best F1. Start: of "
        "those that a way finds itself and that begin within the record, median. ± bootstrap over "
        "swimmers, the limit and the learned priors kept. Time: processor seconds a swimmer, the past "
        "included, one at a time for the others, in one batch for slackwater (learning of priors not "
        "counted).",
        ("population", "way", *FIGURES),
        tuple(rows),
    )
    return Part((table,))


def _asked(swimmers: list[Season]) -> dict[str, WayAnswer | str]:
    case = case_of(swimmers)
    tests, priors = observed_of(swimmers, case.learned)
    start = time.process_time()
    answer = analyse(tests, priors, past=True)
    spent = 1000 * (time.process_time() - start) / len(swimmers)
    out: dict[str, WayAnswer | str] = {
        "slackwater": WayAnswer(answer.p_flat, (case.answer.stretches,), spent)
    }
    for way, (package, how) in WAYS.items():
        if find_spec(package) is None:
            out[way] = f"left out: {package} is not installed (pip install -e '.[study]')"
            continue
        start = time.process_time()
        said = [how(s.t, s.y) for s in swimmers]
        out[way] = answer_of(said, 1000 * (time.process_time() - start) / len(swimmers))
    return out


def answer_of(said: Sequence[Said], spent: float) -> WayAnswer:
    """Return what a way said of all; without stretches where it gave no pieces of anybody."""
    some = any(one.pieces for one in said)
    stretches = [[one.flat(limit) for one in said] for limit in LIMITS] if some else []
    return WayAnswer(np.array([one.p_flat for one in said]), stretches, spent)


def _row(swimmers: list[Season], threshold: float, told: WayAnswer | str) -> tuple[str, ...]:
    if isinstance(told, str):
        return (told, *["–"] * (len(FIGURES) - 1))
    p = told.p
    now = np.array([s.now for s in swimmers])
    weeks = np.array([(s.t[-1] - s.onset) * WEEKS for s in swimmers])
    flat, moving = (np.abs(now) <= STILL) & (weeks >= 8), now > threshold
    every = np.arange(now.size)
    found = max(told.stretches, key=lambda one: _f1(swimmers, one, every), default=None)

    def area(rows: np.ndarray) -> float:
        if not flat[rows].any() or not moving[rows].any():
            return float("nan")
        return auc(p[rows][flat[rows]], p[rows][moving[rows]])

    rng = np.random.default_rng(1)

    def cell(figure: Callable[[np.ndarray], float], digits: int) -> str:
        return plus_minus(figure(every), resampled(rng, now.size, figure), digits)

    def named(low: float, high: float) -> str:
        lasting = flat & (weeks >= low) & (weeks < high)

        def share(rows: np.ndarray) -> float:
            return matched(p[rows][lasting[rows]], p[rows][moving[rows]])

        return f"{cell(share, 2)} ({int(lasting.sum())})"

    return (
        cell(area, 3),
        named(12, 20),
        named(8, 20),
        named(20, np.inf),
        cell(lambda rows: _f1(swimmers, found, rows), 3),
        cell(lambda rows: _off(swimmers, found, rows), 1),
        f"{told.spent:.2g}",
    )


def _f1(swimmers: list[Season], stretches: Stretches | None, rows: np.ndarray) -> float:
    if stretches is None:
        return float("nan")
    hits, wrong, missed = matches([swimmers[i] for i in rows], [stretches[i] for i in rows])
    return f1_of(len(hits), wrong, missed)


def _off(swimmers: list[Season], stretches: Stretches | None, rows: np.ndarray) -> float:
    """Return by how many weeks the start of the stretches found is off, in the median."""
    if stretches is None:
        return float("nan")
    hits, _, _ = matches([swimmers[i] for i in rows], [stretches[i] for i in rows])
    off = [abs(found.start - true[0]) * WEEKS for true, found in hits if true[0] > 0]
    return float(np.median(off)) if off else float("nan")


def matched(flat: Floats, moving: Floats, false: float = FALSE) -> float:
    """Return the share of `flat` above the cut that `false` of `moving` lie above."""
    if not flat.size or not moving.size:
        return float("nan")
    return float((flat > np.quantile(moving, 1 - false)).mean())
