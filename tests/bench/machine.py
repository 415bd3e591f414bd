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
    """What a command cost with its children: wall clock, processor time, most memory at one time."""

    wall_s: float
    cpu_s: float
    memory_mb: float
    out: bytes

    def row(self) -> dict[str, float]:
        return {
            "wall_s": round(self.wall_s, 2),
            "cpu_s": round(self.cpu_s, 2),
            "memory_mb": round(self.memory_mb),
        }


def cost_of(words: list[str], **environment: str) -> Cost:
    """Run ``python -m tracker`` with these words, as a user would: nothing here tells Python how to run."""
    environ = {name: value for name, value in os.environ.items() if not name.startswith("PYTHON")}
    environ |= {"PYTHONPATH": str(ROOT), **environment}
    before = os.times()
    begin = time.perf_counter()
    process = subprocess.Popen(
        [sys.executable, "-m", "tracker", *words], env=environ, stdout=subprocess.PIPE, stderr=subprocess.PIPE
    )
    most = [0.0]
    done = threading.Event()
    watch = threading.Thread(target=_watch, args=(process.pid, most, done))
    watch.start()
    out, err = process.communicate()
    wall = time.perf_counter() - begin
    done.set()
    watch.join()
    after = os.times()
    if process.returncode not in {0, 3}:
        raise RuntimeError(err.decode())
    spent = after.children_user + after.children_system - before.children_user - before.children_system
    return Cost(wall, spent, most[0], out)


def _watch(pid: int, most: list[float], done: threading.Event) -> None:
    """Note the most memory that a process and its children hold together (proportional set size)."""
    while not done.wait(0.2):
        held = sum(_memory_mb(one) for one in (pid, *_children(pid)))
        most[0] = max(most[0], held)


def _children(pid: int) -> list[int]:
    own = [int(one) for one in " ".join(_lines(f"/proc/{pid}/task/{pid}/children")).split()]
    return own + [below for one in own for below in _children(one)]


def _memory_mb(pid: int) -> float:
    shares = [int(line.split()[1]) for line in _lines(f"/proc/{pid}/smaps_rollup") if line.startswith("Pss:")]
    return shares[0] / 1024 if shares else 0.0
