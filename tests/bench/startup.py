"""How long the light commands take, whole process, median of several runs.

Run: ``python tests/bench/startup.py [RUNS]``. Prints one line a command with its budget; leaves with 1
if a median is over. A warm file cache and compiled bytecode are assumed, as after the first use.
"""

from __future__ import annotations

import os
import statistics
import subprocess
import sys
import tempfile
import time
from pathlib import Path

COMMANDS = [
    (["--help"], 0.15),
    (["--version"], 0.15),
    (["css", "6:40", "3:10"], 0.15),
    (["pace", "6:40", "400"], 0.15),
    (["pace", "--css", "1:45"], 0.15),
    (["stroke", "25", "18", "26.0"], 0.15),
    (["angle", "0,0", "10,0", "10,10"], 0.15),
    (["log", "Ines Aalto", "t400", "6:40", "--date", "2026-06-30"], 0.7),
    (["swims", "Ines Aalto"], 0.7),
]


def _seconds(arguments: list[str], environment: dict[str, str]) -> float:
    begin = time.perf_counter()
    subprocess.run(
        [sys.executable, "-m", "tracker", *arguments],
        env=environment,
        check=True,
        stdout=subprocess.DEVNULL,
        stderr=subprocess.DEVNULL,
    )
    return time.perf_counter() - begin


def main(runs: int) -> int:
    """Measure every command and print its median."""
    over = 0
    with tempfile.TemporaryDirectory() as folder:
        environment = {
            "PATH": os.environ["PATH"],
            "HOME": folder,
            "SLACKWATER_DB": str(Path(folder) / "c.db"),
        }
        environment["PYTHONPATH"] = str(Path(__file__).parents[2])
        _seconds(["swimmer", "add", "Ines Aalto"], environment)
        for arguments, budget in COMMANDS:
            _seconds(arguments, environment)
            median = statistics.median(_seconds(arguments, environment) for _ in range(runs))
            over += median > budget
            print(f"{' '.join(arguments[:3]):<24} {median:.3f} s (budget {budget:g} s)")
    return 1 if over else 0


if __name__ == "__main__":
    sys.exit(main(int(sys.argv[1]) if len(sys.argv) > 1 else 9))
