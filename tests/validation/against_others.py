"""The same swimmers given to what one would use otherwise, false alarms matched."""

from __future__ import annotations

import time
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from importlib.util import find_spec

import numpy as np

from tests.simulate.scoring import WEEKS, Spanned, auc, f1_of, matches
from tests.simulate.seasons import Season
from tests.simulate.stationary import FLAT
from tests.validation.dated import drawn_at_random_dates, truth_of
from tests.validation.door import case_of, observed_of
from tests.validation.other_ways import WAYS, Said
from tests.validation.part import Part, Scale
from tests.validation.random_dates import ROUND, log_loss, mean_shown, right_of, said_at
from tests.validation.table import Table
from tests.validation.tally import Floats, plus_minus, resampled, share, shown
from tracker.engine.trend.analyse import analyse

SIZE = 60
FALSE = 0.05
LIMITS = tuple(k / 10 for k in range(1, 11))
"""Slopes, percent per month, up to which another way's piece may count as flat: the best is taken."""
POPULATIONS = {"stationary": 0.3, "quick": 0.5, "slow": 0.3}
"""Rosters at random dates, and percent a month above which one is moving."""
FIGURES = (
    "log loss", "likeliest class right", "P >= .80", "right at it", "AUC", "flat named at 5 % false alarms",
    "F1 of flat stretches", "their start off by, weeks", "ms a swimmer",
)  # fmt: skip
Stretches = Sequence[Sequence[Spanned]]


@dataclass(frozen=True)
class WayAnswer:
    """What a way says of all swimmers: (S, 3) p, stretches by the limit they go by, milliseconds each."""

    p: Floats
    stretches: Sequence[Stretches]
    spent: float


def run(scale: Scale) -> Part:
    """Score all ways on the first swimmers of rosters at random dates."""
    size = scale.of(SIZE, 4)
    rows = []
    for name, threshold in POPULATIONS.items():
        swimmers = drawn_at_random_dates(name, size)
        for way, told in _asked(swimmers).items():
            rows.append((name, way, *_row(swimmers, threshold, told)))
    table = Table(
        "against_others",
        "The same swimmers at the same random dates given to other ways",
        f"{size} swimmers of each population, each cut at a date uniform in its second half. Probabilities "
        "of each way: the mass of its present rate's distribution above, inside and below the band. AUC: "
        "P(flat) of the flat against those moving faster than 0.5 (quick) or 0.3 %/month. Named: of all "
        f"who are flat, the last change however recent, at the cut at which {100 * FALSE:g} % of the "
        "moving are called flat; in brackets how many are flat. Flat stretches: 6 weeks or longer, found "
        "at half overlap; for the others the pieces no steeper than 0.1, 0.2, ... 1.0 %/month, whichever "
        "gives the best F1. Start: of those that a way finds itself and that begin within the record, "
        "median. slackwater learns its priors from these same swimmers. ± bootstrap over swimmers, the "
        "limit and the learned priors kept. Time: processor seconds a swimmer, the past included, one at "
        "a time for the others, in one batch for slackwater (learning of priors not counted).",
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
    out: dict[str, WayAnswer | str] = {"slackwater": WayAnswer(answer.p, (case.answer.stretches,), spent)}
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
    return WayAnswer(np.array([one.p for one in said]), stretches, spent)


def _row(swimmers: list[Season], threshold: float, told: WayAnswer | str) -> tuple[str, ...]:
    if isinstance(told, str):
        return (told, *["–"] * (len(FIGURES) - 1))
    p, p_flat = told.p, told.p[:, FLAT]
    truth = truth_of(swimmers)
    flat, moving = truth.now == FLAT, truth.rate > threshold
    every = np.arange(truth.now.size)
    found = max(told.stretches, key=lambda one: _f1(swimmers, one, every), default=None)

    def area(rows: np.ndarray) -> float:
        if not flat[rows].any() or not moving[rows].any():
            return float("nan")
        return auc(p_flat[rows][flat[rows]], p_flat[rows][moving[rows]])

    rng = np.random.default_rng(1)

    def cell(figure: Callable[[np.ndarray], float], digits: int) -> str:
        return plus_minus(figure(every), resampled(rng, truth.now.size, figure), digits)

    def named(rows: np.ndarray) -> float:
        return matched(p_flat[rows][flat[rows]], p_flat[rows][moving[rows]])

    said = said_at(p, ROUND)
    return (
        mean_shown(log_loss(p, truth.now), 2),
        shown(share(p.argmax(axis=1) == truth.now), 2),
        shown(share(said >= 0), 2),
        shown(right_of(said, truth.now), 2),
        cell(area, 3),
        f"{cell(named, 2)} ({int(flat.sum())})",
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
