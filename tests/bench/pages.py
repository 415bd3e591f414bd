"""What a swimmer's page costs: processor time, wall clock of a batch, and whether memory stays flat.

Two sides a swimmer, PDF. The seasons are invented (54 tests, three faults), so that what is measured is the
making of pages, not the engine.
"""

from __future__ import annotations

import datetime as dt
import resource
import statistics
import time
from collections.abc import Iterator
from functools import partial
from typing import Any

from tests.bench.machine import keep, within
from tests.output.seasons import season_of
from tracker.app.executor import IN_PROCESS, all_cores
from tracker.output.pages.rendering import PageOptions, make
from tracker.output.pages.season import Season

ORDER = PageOptions(("pdf",), dt.date(2026, 6, 30))
MAKE = partial(make, order=ORDER)
CPU_A_PAGE_S = 0.35
WALL_OF_200_S = 60.0
GROWTH_MB = 60.0


def _seasons(number: int) -> Iterator[Season]:
    for i in range(number):
        yield season_of(name=f"Swimmer {i}")


def _peak_mb() -> float:
    return resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024


def main(batch: int = 200, many: int = 1000) -> int:
    """Measure and keep; return 1 if a figure is over its budget."""
    MAKE(season_of())
    spent = []
    for season in _seasons(40):
        begin = time.process_time()
        made = MAKE(season)
        spent.append(time.process_time() - begin)
        assert not made.failures, made.failures
    spent.sort()
    begin = time.perf_counter()
    sizes = [len(made.files["pdf"]) for made in all_cores().each(MAKE, _seasons(batch))]
    wall = time.perf_counter() - begin
    before = _peak_mb()
    for number, made in enumerate(IN_PROCESS.each(MAKE, _seasons(many))):
        assert not made.failures, made.failures
        if number == 100:
            before = _peak_mb()
    rows: list[dict[str, Any]] = [
        _row("processor time a page, s, median", statistics.median(spent), CPU_A_PAGE_S),
        _row("processor time a page, s, 95 of 100 below", spent[int(0.95 * len(spent))], CPU_A_PAGE_S),
        _row(f"{batch} pages on all cores, wall clock, s", wall, WALL_OF_200_S * batch / 200),
        _row(f"growth of peak memory from page 100 to {many}, MB", _peak_mb() - before, GROWTH_MB),
        _row("bytes a page, median", statistics.median(sizes), None),
    ]
    keep("pages", rows, "two sides, PDF, 54 tests and three faults a swimmer")
    return int(not all(within(row, "figure") for row in rows if row["budget"] is not None))


def _row(what: str, figure: float, budget: float | None) -> dict[str, Any]:
    return {"what": what, "figure": round(figure, 3), "budget": budget}
