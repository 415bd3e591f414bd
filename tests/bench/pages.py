"""What a swimmer's page costs: CPU a page, wall clock of a batch, and whether memory stays flat.

Run: ``python tests/bench/pages.py [BATCH] [MANY]`` (default 200 and 1,000). Two sides a swimmer, PDF.
Leaves with 1 if a budget is missed. The seasons are invented (54 tests, three faults), so that what is
measured is the making of pages, not the engine.
"""

from __future__ import annotations

import datetime as dt
import resource
import statistics
import sys
import time
from collections.abc import Iterator
from functools import partial

from tests.output.seasons import season_of
from tracker.output.pages.making import Order, make
from tracker.output.pages.season import Season
from tracker.usecases.crew import ALONE, all_cores

ORDER = Order(("pdf",), dt.date(2026, 6, 30))
CPU_A_PAGE = 0.35
WALL_OF_200 = 60.0
GROWTH_MB = 60.0


def _seasons(number: int) -> Iterator[Season]:
    for i in range(number):
        yield season_of(name=f"Swimmer {i}")


def _peak_mb() -> float:
    return resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024


def _verdict(what: str, value: float, budget: float, unit: str) -> bool:
    good = value <= budget
    print(f"{what}: {value:.2f} {unit} (budget {budget:g}) {'ok' if good else 'OVER'}")
    return good


def main(batch: int = 200, many: int = 1000) -> int:
    """Measure and print; return the exit code."""
    make(season_of(), ORDER)
    spent = []
    for season in _seasons(40):
        begin = time.process_time()
        made = make(season, ORDER)
        spent.append(time.process_time() - begin)
        assert not made.failures, made.failures
    spent.sort()
    good = _verdict("CPU a page, p50", statistics.median(spent), CPU_A_PAGE, "s")
    good &= _verdict("CPU a page, p95", spent[int(0.95 * len(spent))], CPU_A_PAGE, "s")
    begin = time.perf_counter()
    sizes = [len(made.files["pdf"]) for made in all_cores().each(partial(make, order=ORDER), _seasons(batch))]
    wall = time.perf_counter() - begin
    good &= _verdict(f"{batch} pages, wall clock", wall, WALL_OF_200 * batch / 200, "s")
    print(f"bytes a page, p50: {statistics.median(sizes):.0f}")
    before = _peak_mb()
    for number, made in enumerate(ALONE.each(partial(make, order=ORDER), _seasons(many))):
        assert not made.failures, made.failures
        if number == 100:
            before = _peak_mb()
    good &= _verdict(f"growth of peak memory, page 100 to {many}", _peak_mb() - before, GROWTH_MB, "MB")
    return 0 if good else 1


if __name__ == "__main__":
    sys.exit(main(*map(int, sys.argv[1:])))
