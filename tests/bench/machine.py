"""Where and with what a benchmark ran, and what a command cost: seconds, processor seconds, memory."""

from __future__ import annotations

import datetime as dt
import json
import os
import platform
import subprocess
import sys
import threading
import time
from dataclasses import dataclass
from importlib.metadata import PackageNotFoundError, version
from pathlib import Path
from typing import Any

ROOT = Path(__file__).parents[2]
FOLDER = ROOT / "reports" / "bench"
_PACKAGES = ("numpy", "scipy", "pandas", "statsmodels", "sqlalchemy", "psycopg", "matplotlib", "typst")


def machine() -> dict[str, Any]:
    """Return day, processor, cores, how busy they were with other work, and versions."""
    names = {
        line.partition(":")[2].strip() for line in _lines("/proc/cpuinfo") if line.startswith("model name")
    }
    memory = [int(line.split()[1]) for line in _lines("/proc/meminfo") if line.startswith("MemTotal")]
    versions = {"python": platform.python_version()}
    for name in _PACKAGES:
        try:
            versions[name] = version(name)
        except PackageNotFoundError:
            continue
    return {
        "day": dt.datetime.now(dt.UTC).date().isoformat(),
        "processor": ", ".join(sorted(names)) or platform.machine(),
        "cores": os.cpu_count(),
        "memory_gb": round(memory[0] / 2**20, 1) if memory else None,
        "load_before": round(os.getloadavg()[0], 1),
        "versions": versions,
    }


def _lines(path: str) -> list[str]:
    try:
        return Path(path).read_text(encoding="ascii", errors="replace").splitlines()
    except OSError:
        return []


def keep(name: str, rows: list[dict[str, Any]], note: str = "") -> None:
    """Write the rows with the machine beside them, and print them."""
    FOLDER.mkdir(parents=True, exist_ok=True)
    told = {"what": name, "note": note, "machine": machine(), "rows": rows}
    (FOLDER / f"{name}.json").write_text(json.dumps(told, indent=1) + "\n", encoding="utf-8")
    print(name, f"({note})" if note else "")
    for row in rows:
        print("  " + ", ".join(f"{key} {value}" for key, value in row.items()))


def within(row: dict[str, Any], figure: str) -> bool:
    """Return whether a row's figure keeps to the budget beside it."""
    return bool(row[figure] <= row["budget"])


@dataclass(frozen=True)
class Cost:
    """What a command cost with its children: wall clock, processor time, most memory at one time.

    Where a server worked for it, the server's own processor time and memory stand apart.
    """

    wall_s: float
    cpu_s: float
    memory_mb: float
    out: bytes
    server_cpu_s: float | None = None
    server_mb: float | None = None

    def row(self) -> dict[str, float]:
        own = {
            "wall_s": round(self.wall_s, 2),
            "cpu_s": round(self.cpu_s, 2),
            "memory_mb": round(self.memory_mb),
        }
        if self.server_cpu_s is None or self.server_mb is None:
            return own
        return {**own, "server_cpu_s": round(self.server_cpu_s, 2), "server_mb": round(self.server_mb)}


def cost_of(words: list[str], *, server: int | None = None, **environment: str) -> Cost:
    """Run ``python -m tracker`` with these words, as a user would: nothing here tells Python how to run.

    `server` is the process number of the database server that works for it.
    """
    environ = {name: value for name, value in os.environ.items() if not name.startswith("PYTHON")}
    environ |= {"PYTHONPATH": str(ROOT), **environment}
    before, at_first = os.times(), 0.0 if server is None else _spent_s(server)
    begin = time.perf_counter()
    process = subprocess.Popen(
        [sys.executable, "-m", "tracker", *words], env=environ, stdout=subprocess.PIPE, stderr=subprocess.PIPE
    )
    most = {process.pid: 0.0} | ({} if server is None else {server: 0.0})
    done = threading.Event()
    watch = threading.Thread(target=_watch, args=(most, done))
    watch.start()
    out, err = process.communicate()
    wall = time.perf_counter() - begin
    done.set()
    watch.join()
    after = os.times()
    if process.returncode not in {0, 3}:
        raise RuntimeError(err.decode())
    spent = after.children_user + after.children_system - before.children_user - before.children_system
    if server is None:
        return Cost(wall, spent, most[process.pid], out)
    return Cost(wall, spent, most[process.pid], out, _spent_s(server) - at_first, most[server])


def _watch(most: dict[int, float], done: threading.Event) -> None:
    """Note the most memory that each process and its children hold together (proportional set size)."""
    while not done.wait(0.2):
        for pid, before in most.items():
            held = sum(_memory_mb(one) for one in (pid, *_children(pid)))
            most[pid] = max(before, held)


def _spent_s(pid: int) -> float:
    """Return the processor time of a process, of its children there and of those it has seen the end of."""
    ticks = 0
    for one in (pid, *_children(pid)):
        for line in _lines(f"/proc/{one}/stat"):
            ticks += sum(int(word) for word in line.rpartition(")")[2].split()[11:15])
    return ticks / os.sysconf("SC_CLK_TCK")


def _children(pid: int) -> list[int]:
    own = [int(one) for one in " ".join(_lines(f"/proc/{pid}/task/{pid}/children")).split()]
    return own + [below for one in own for below in _children(one)]


def _memory_mb(pid: int) -> float:
    shares = [int(line.split()[1]) for line in _lines(f"/proc/{pid}/smaps_rollup") if line.startswith("Pss:")]
    return shares[0] / 1024 if shares else 0.0
