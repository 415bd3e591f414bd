"""Where the figures go: one text file each, with the seed, the day and the machine."""

from __future__ import annotations

import datetime as dt
import platform
import sqlite3
import time
from collections.abc import Callable
from pathlib import Path

FOLDER = Path(__file__).parents[3] / "reports" / "safety"
NOW = dt.datetime(2026, 6, 30, 12, tzinfo=dt.UTC)
DAY = dt.date(2026, 6, 30)
SCRATCH = "/dev/shm" if Path("/dev/shm").is_dir() else None  # noqa: S108 - a private folder is made in it
"""Where thousands of small databases are made: in memory, where there is such a place."""


def logged(name: str, seed: int, work: Callable[[int], list[str]], folder: Path = FOLDER) -> bool:
    """Run `work`, write what it says and print it; whether it says nothing of a failure."""
    begun = time.perf_counter()
    lines = work(seed)
    took = time.perf_counter() - begun
    head = (
        f"{name}: seed {seed}; {dt.datetime.now(dt.UTC):%Y-%m-%d}; Python {platform.python_version()}, "
        f"SQLite {sqlite3.sqlite_version}, {platform.system()} {platform.machine()}; {took:.0f} s"
    )
    text = "\n".join([head, *lines]) + "\n"
    folder.mkdir(parents=True, exist_ok=True)
    (folder / f"{name}.txt").write_text(text)
    print(text)
    return not any("FAILED" in line for line in lines)
