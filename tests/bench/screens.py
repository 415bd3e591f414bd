"""How quick the screens are with a big roster, through a real pseudo-terminal.

    python tests/bench/screens.py [SWIMMERS] [SWIMS_EACH]

Builds a seeded roster in a temporary folder, opens it twice (the second time the verdicts are
cached) and prints: first screen, verdicts there, key to changed screen, a swimmer opened, bytes
a key, memory. What is timed ends when the last byte of an answer has come.
"""

from __future__ import annotations

import datetime as dt
import sys
import tempfile
import time
from contextlib import closing
from pathlib import Path
from statistics import median, quantiles

import numpy as np

sys.path.insert(0, str(Path(__file__).parents[2]))

from tests.tui.terminal import Terminal
from tracker.records.swim import Swim
from tracker.records.swimmer import Swimmer
from tracker.store.database import Store

LAST = dt.date(2026, 2, 9)
KEYS = 100


def build(path: Path, swimmers: int, swims: int) -> None:
    """Write the roster: each gains for a while, then is flat, gains on or slips; 1.2 % noise."""
    draw = np.random.default_rng(5)
    store = Store.open(path)
    with store.write(who="bench", what="a big roster", at=dt.datetime(2026, 2, 9, tzinfo=dt.UTC)) as writer:
        names = [f"Swimmer {number:05d}" for number in range(swimmers)]
        writer.add([Swimmer(swimmer=name, group=f"Group {n % 40:02d}") for n, name in enumerate(names)])
        for first in range(0, swimmers, 200):
            records = []
            for name in names[first : first + 200]:
                days = np.arange(swims)[::-1] * 6
                turn, late = draw.integers(20, 80), draw.choice([0.0, 0.02, -0.03])
                t = np.arange(swims)
                gain = 0.1 * np.minimum(t, turn) + late * 6 / 4 * np.maximum(0, t - turn)
                pace = draw.uniform(80, 130) * np.exp((-gain + draw.normal(0, 1.2, swims)) / 100)
                records += [
                    Swim.model_construct(
                        date=LAST - dt.timedelta(days=int(day)),
                        swimmer=name,
                        test="t400",
                        distance_m=400.0,
                        time_s=round(float(4 * p), 1),
                    )
                    for day, p in zip(days, pace, strict=True)
                ]
            writer.add(records)
    store.close()


def answer(terminal: Terminal, keys: str, quiet: float = 0.12) -> tuple[float, int]:
    """Type keys; return seconds until the last byte of the answer, and its bytes."""
    import os
    import select

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


def run(database: Path, home: Path, label: str) -> None:
    """Open the screens once and print the figures."""
    start = time.perf_counter()
    with closing(Terminal(database, home)) as terminal:
        terminal.wait_for("Swimmer 0", 60)
        print(f"{label}: first screen {time.perf_counter() - start:.2f} s", end="")
        terminal.wait_for("new plateau", 300)
        print(f", verdicts {time.perf_counter() - start:.2f} s")
        while terminal_busy(terminal):
            pass
        times, sizes = zip(*(answer(terminal, "j") for _ in range(KEYS)), strict=True)
        p95 = quantiles(times, n=20)[-1]
        print(f"  key to changed screen: median {1e3 * median(times):.0f} ms, p95 {1e3 * p95:.0f} ms")
        print(f"  bytes a key: median {median(sizes):.0f}, most {max(sizes)}")
        opened = []
        for _ in range(5):
            opened.append(answer(terminal, "\r", 0.4)[0])
            answer(terminal, "\x1b", 0.4)
        print(f"  a swimmer opened: median {1e3 * median(opened):.0f} ms")
        typed = [answer(terminal, key)[0] for key in "/plat"]
        print(f"  filter as you type: median {1e3 * median(typed):.0f} ms")
        print(f"  most memory: {peak_mb(terminal.process.pid):.0f} MB")
        terminal.send("\x11")
        terminal.ended()


def terminal_busy(terminal: Terminal) -> bool:
    """Whether something was written within the last second."""
    before = len(terminal.written)
    terminal.read(1.0)
    return len(terminal.written) != before


def main(swimmers: int = 5000, swims: int = 100) -> None:
    """Build, open, open again."""
    with tempfile.TemporaryDirectory(prefix="slackwater-bench-") as folder:
        home = Path(folder)
        database = home / "big.db"
        start = time.perf_counter()
        build(database, swimmers, swims)
        print(f"{swimmers} swimmers, {swims} swims each, built in {time.perf_counter() - start:.0f} s")
        run(database, home, "first time")
        run(database, home, "again")


if __name__ == "__main__":
    main(*map(int, sys.argv[1:3]))
