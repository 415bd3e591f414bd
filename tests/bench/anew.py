"""How long the verdict on one swimmer takes after a new swim of theirs, past stretches and link included.

In one process that is already up, as the screens are: a swim is logged, then the roster's line of that
swimmer is worked out, the way the roster screen does it; and the arithmetic of the verdict alone.
"""

from __future__ import annotations

import datetime as dt
import tempfile
import time
from pathlib import Path
from statistics import median, quantiles

from tests.bench import rosters
from tests.bench.machine import keep, within
from tests.builders import a_session
from tracker.app.learned_priors import learned_priors
from tracker.app.scan import scan_in_parts
from tracker.engine.series.from_swims import COLUMNS, rows_from_swims
from tracker.engine.verdict.judge import examine, judge_case
from tracker.model.swim import Swim
from tracker.settings import DEFAULT
from tracker.store.database import Store

BUDGET = 50.0
TIMES = 30
WARM = 3


def main(swimmers: int = 100) -> int:
    """Log a swim for one after the other; return 1 if the median is over the budget."""
    whole, alone = [], []
    with tempfile.TemporaryDirectory(prefix="slackwater-bench-") as folder:
        database = Path(folder) / "club.db"
        rosters.fill(database, swimmers)
        store = Store.open(database)
        today = rosters.LAST + dt.timedelta(days=6)
        for name in rosters.names(swimmers)[: WARM + TIMES]:
            swim = Swim(
                swimmer=name,
                date=today,
                test="t400",
                distance_m=400.0,
                time_s=380.0,
                course="SCM",
                suit="none",
            )
            with store.write(who="bench", what="a swim", at=rosters.NOW) as writer:
                writer.add([swim])
            start = time.perf_counter()
            (part,) = scan_in_parts(a_session(store, today=today), names=[name])
            whole.append(1e3 * (time.perf_counter() - start))
            if part.lines[0].verdict is None:
                raise RuntimeError(f"{name} was not judged")
            with store.read() as reader:
                swum, _ = rows_from_swims(reader.columns(Swim, COLUMNS, among=[name]), DEFAULT, until=today)
            if swum is None:
                raise RuntimeError(f"{name} has no usable test")
            learned = learned_priors(a_session(store, today=today))
            start = time.perf_counter()
            judge_case(examine(swum, learned, DEFAULT), DEFAULT, as_of=today)
            alone.append(1e3 * (time.perf_counter() - start))
        store.close()
    rows = [
        {
            "what": what,
            "tests": rosters.SWIMS + 1,
            "median_ms": round(median(times[WARM:]), 1),
            "p95_ms": round(quantiles(times[WARM:], n=20)[-1], 1),
            "budget": BUDGET,
        }
        for what, times in (("the swimmer's line, from the database", whole), ("the verdict alone", alone))
    ]
    keep("anew", rows, f"{swimmers} swimmers on record, {TIMES} of them with a new swim each")
    return int(not all(within(row, "median_ms") for row in rows))
