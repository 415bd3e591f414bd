"""The same swimmers given to what one would use otherwise, false alarms matched."""

from __future__ import annotations

import time
from importlib.util import find_spec

import numpy as np

from tests.simulate.scoring import WEEKS, auc
from tests.simulate.seasons import STILL, Season, seasons
from tests.validation.door import case_of, observed_of
from tests.validation.other_ways import WAYS
from tests.validation.part import Part, Scale
from tests.validation.populations import STYLES, THRESHOLD, from_first_test
from tests.validation.table import Table
from tests.validation.tally import Floats, plus_minus, resampled
from tracker.trend.analyse import analyse

SEED, SIZE = 9160, 240
FALSE = 0.05


def run(scale: Scale) -> Part:
    """Score all ways on a quick and a slow roster."""
    rows = []
    for name in ("quick", "slow"):
        rng = np.random.default_rng((SEED, len(name)))
        swimmers = [from_first_test(s) for s in seasons(rng, scale.of(SIZE, 4), STYLES[name])]
        for way, found in _asked(swimmers).items():
            rows.append((name, way, *_row(swimmers, THRESHOLD[name], found)))
    table = Table(
        "against_others",
        "The same swimmers given to other ways",
        f"{scale.of(SIZE, 4)} swimmers of each population (seed {SEED}), at the last test of each. "
        "P(flat) by each way: the mass "
        "of its present rate's distribution inside the band. AUC: flat for 8 weeks or longer "
        "against moving faster "
        f"than 0.5 (quick) or 0.3 (slow) %/month. Named: at the cut at which {100 * FALSE:g} % of "
        "the moving are called flat. "
        "± bootstrap over swimmers. Time: processor seconds a swimmer, one at a time for the "
        "others, in one batch for "
        "slackwater (learning of priors not counted).",
        ("population", "way", "AUC", "plateaus of 8-20 weeks named", "of 20 weeks or longer", "ms a swimmer"),
        tuple(rows),
    )
    return Part((table,))


def _asked(swimmers: list[Season]) -> dict[str, tuple[Floats, float] | str]:
    case = case_of(swimmers)
    tests, priors = observed_of(swimmers, case.taught)
    start = time.process_time()
    answer = analyse(tests, priors)
    out: dict[str, tuple[Floats, float] | str] = {
        "slackwater": (answer.p_flat, 1000 * (time.process_time() - start) / len(swimmers))
    }
    for way, (package, how) in WAYS.items():
        if find_spec(package) is None:
            out[way] = f"left out: {package} is not installed (pip install -e '.[study]')"
            continue
        start = time.process_time()
        p = np.array([how(s.t, s.y) for s in swimmers])
        out[way] = p, 1000 * (time.process_time() - start) / len(swimmers)
    return out


def _row(swimmers: list[Season], threshold: float, found: tuple[Floats, float] | str) -> tuple[str, ...]:
    if isinstance(found, str):
        return (found, "–", "–", "–")
    p, spent = found
    now = np.array([s.now for s in swimmers])
    weeks = np.array([(s.t[-1] - s.onset) * WEEKS for s in swimmers])
    flat, moving = (np.abs(now) <= STILL) & (weeks >= 8), now > threshold
    rng = np.random.default_rng(1)

    def area(rows: np.ndarray) -> float:
        if not flat[rows].any() or not moving[rows].any():
            return float("nan")
        return auc(p[rows][flat[rows]], p[rows][moving[rows]])

    def named(rows: np.ndarray, low: float, high: float) -> float:
        chosen = flat[rows] & (weeks[rows] >= low) & (weeks[rows] < high)
        return matched(p[rows][chosen], p[rows][moving[rows]])

    every = np.arange(now.size)
    cells = [area, lambda rows: named(rows, 8, 20), lambda rows: named(rows, 20, np.inf)]
    return (
        *(
            plus_minus(figure(every), resampled(rng, now.size, figure), 2 + (i == 0))
            for i, figure in enumerate(cells)
        ),
        f"{spent:.2g}",
    )


def matched(flat: Floats, moving: Floats, false: float = FALSE) -> float:
    """Return the share of `flat` above the cut that `false` of `moving` lie above."""
    if not flat.size or not moving.size:
        return float("nan")
    return float((flat > np.quantile(moving, 1 - false)).mean())
