"""How quick the screens are with a big roster, through a real pseudo-terminal.

Opens a seeded roster of 100 swims each twice; the second time the verdicts are kept. What is timed ends when
the last byte of an answer has come.
"""

from __future__ import annotations

import os
import select
import tempfile
import time
from contextlib import closing
from pathlib import Path
from statistics import median, quantiles
from typing import Any

from tests.bench import rosters
from tests.bench.machine import keep
from tests.tui.terminal import Terminal

KEYS = 100


def answer(terminal: Terminal, keys: str, quiet: float = 0.12) -> tuple[float, int]:
    """Type keys; return seconds until the last byte of the answer, and its bytes."""
    start = time.perf_counter()
    os.write(terminal.master, keys.encode())
    last, size = start, 0
    while select.select([terminal.master], [], [], quiet if size else 2.0)[0]:
        data = os.read(terminal.master, 65536)
        terminal.written += data
        size += len(data)
        last = time.perf_counter()
    return last - start, size


def peak_mb(pid: int) -> float:
    """Return the most memory the process held."""
    for line in Path(f"/proc/{pid}/status").read_text(encoding="ascii").splitlines():
        if line.startswith("VmHWM"):
            return int(line.split()[1]) / 1024
    return float("nan")


def opened(database: Path, home: Path) -> dict[str, Any]:
    """Open the screens once; return the figures."""
    start = time.perf_counter()
    with closing(Terminal(database, home)) as terminal:
        terminal.wait_for("Swimmer 0", 60)
        first = time.perf_counter() - start
        terminal.wait_for("new plateau", 300)
        verdicts = time.perf_counter() - start
        while busy(terminal):
            pass
        times, sizes = zip(*(answer(terminal, "j") for _ in range(KEYS)), strict=True)
        one = []
        for _ in range(5):
            one.append(answer(terminal, "\r", 0.4)[0])
            answer(terminal, "\x1b", 0.4)
        typed = [answer(terminal, key)[0] for key in "/plat"]
        memory = peak_mb(terminal.process.pid)
        terminal.send("\x11")
        terminal.ended()
    return {
        "first_screen_s": round(first, 2),
        "verdicts_s": round(verdicts, 2),
        "key_ms": round(1e3 * median(times), 1),
        "key_p95_ms": round(1e3 * quantiles(times, n=20)[-1], 1),
        "key_bytes": round(median(sizes)),
        "key_most_bytes": max(sizes),
        "swimmer_ms": round(1e3 * median(one)),
        "filter_ms": round(1e3 * median(typed)),
        "memory_mb": round(memory),
    }


def busy(terminal: Terminal) -> bool:
    """Whether something was written within the last second."""
    before = len(terminal.written)
    terminal.read(1.0)
    return len(terminal.written) != before


def main(swimmers: int = 5000) -> int:
    """Open a roster, and again; keep the figures."""
    with tempfile.TemporaryDirectory(prefix="slackwater-bench-") as folder:
        home = Path(folder)
        database = home / "big.db"
        rosters.fill(database, swimmers)
        rows = [
            {"swimmers": swimmers, "opened": how, **opened(database, home)}
            for how in ("the first time", "again")
        ]
    keep(
        "screens",
        rows,
        "seconds from the start of the program; a key moves down the list, 'swimmer' opens one, "
        "'filter' is a letter of a filter",
    )
    return 0
