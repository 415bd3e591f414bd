"""Processor time a swimmer of the engine and of what one would use otherwise, on the same seasons."""

from __future__ import annotations

import os
import subprocess
import sys
import time
from importlib.util import find_spec

import numpy as np

from tests.bench.machine import ROOT, keep
from tests.simulate.seasons import QUICK, batch, seasons
from tests.validation.other_ways import WAYS
from tracker.engine.trend.analyse import analyse
from tracker.engine.trend.learn import learn
from tracker.engine.trend.observations import Observations, observations_from_lists
from tracker.engine.trend.priors import BUILT_IN, Priors
from tracker.model.units import DAYS_PER_MONTH


def main(size: int = 400, others: int = 24) -> int:
    """Measure and keep; `others` swimmers for those that take one at a time."""
    if os.environ.get("OMP_NUM_THREADS") != "1":
        # threads of the linear algebra that wait for each other count as processor time; they are made
        # when numpy is loaded, so in a process of its own
        again = [sys.executable, "-m", "tests.bench", "numerics"]
        return subprocess.run(
            again, cwd=ROOT, env={**os.environ, "OMP_NUM_THREADS": "1"}, check=False
        ).returncode
    swimmers = seasons(np.random.default_rng(7), size, QUICK)
    tests = batch(swimmers, QUICK)
    priors = learn(tests, BUILT_IN)
    spent = {past: least(tests, priors, past=past) for past in (False, True)}
    own = spent[False]  # what the others answer too: the rate now
    rows = [
        {"way": "slackwater, the rate now", "ms_a_swimmer": round(1e3 * own, 2), "times_ours": 1.0},
        {
            "way": "slackwater, with all past stretches",
            "ms_a_swimmer": round(1e3 * spent[True], 2),
            "times_ours": round(spent[True] / own, 1),
        },
    ]
    for way, (package, how) in WAYS.items():
        if find_spec(package) is None:
            continue
        how(swimmers[0].t, swimmers[0].y)
        begin = time.process_time()
        for one in swimmers[:others]:
            how(one.t, one.y)
        each = (time.process_time() - begin) / others
        rows.append({"way": way, "ms_a_swimmer": round(1e3 * each, 2), "times_ours": round(each / own, 1)})
    hundred = of_a_hundred()
    for what, some in (("256 swimmers", hundred), ("one swimmer", hundred.take([3]))):
        for past, asked in ((False, "the rate now"), (True, "with all past stretches")):
            each = 1e3 * least(some, BUILT_IN, past=past)
            rows.append({"way": f"slackwater, {what} of 100 tests, {asked}", "ms_a_swimmer": round(each, 2)})
    mean = np.mean([one.t.size for one in swimmers])
    keep(
        "numerics",
        rows,
        f"{size} seasons of {mean:.0f} tests on average; how well each judges: reports/validation",
    )
    return 0


def least(tests: Observations, priors: Priors, *, past: bool, times: int = 8) -> float:
    """Return processor seconds a swimmer: the least of several runs, the one that others disturbed least."""
    spent = []
    for _ in range(times):
        begin = time.process_time()
        analyse(tests, priors, past=past)
        spent.append((time.process_time() - begin) / len(tests))
    return min(spent)


def of_a_hundred(size: int = 256) -> Observations:
    """Return swimmers of 100 tests on random days of two and a half years."""
    rng = np.random.default_rng(3)
    days = [np.sort(rng.choice(900, 100, replace=False)) for _ in range(size)]
    months = [(day - day[0]) / DAYS_PER_MONTH for day in days]
    return observations_from_lists(months, [0.5 * t + rng.normal(0, 1.1, t.size) for t in months])
