"""Many pages, one after the other or on several processors; memory stays flat."""

from __future__ import annotations

import os
from collections.abc import Iterable, Iterator
from functools import partial
from itertools import islice
from typing import Final

from tracker.output.pages.making import Made, Order, make
from tracker.output.pages.season import Season

ALONE: Final = 16
"""So many pages are made sooner in this process than others start."""
AT_ONCE: Final = 32
"""Seasons held in memory at a time."""


def make_all(seasons: Iterable[Season], order: Order, total: int) -> Iterator[Made]:
    """Yield the pages in the order of `seasons`, which is read only as far as needed.

    Parameters
    ----------
    total
        About how many there are, to decide whether other processes are worth starting.
    """
    workers = min(os.cpu_count() or 1, 8)
    if total <= ALONE or workers == 1:
        yield from (make(season, order) for season in seasons)
        return
    from concurrent.futures import ProcessPoolExecutor
    from multiprocessing import get_context

    waiting = iter(seasons)
    with ProcessPoolExecutor(workers, mp_context=get_context("spawn")) as pool:
        while batch := list(islice(waiting, AT_ONCE)):
            yield from pool.map(partial(make, order=order), batch, chunksize=4)
