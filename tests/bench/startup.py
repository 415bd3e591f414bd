"""How long the light commands take, whole process, median of several runs, each with its budget.

A warm file cache and compiled bytecode are assumed, as after the first use.
"""

from __future__ import annotations

import statistics
import tempfile
from pathlib import Path
from typing import Any

from tests.bench.machine import cost_of, keep, within

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


def main(runs: int = 9) -> int:
    """Measure every command and keep its median; return 1 if one is over its budget."""
    rows: list[dict[str, Any]] = []
    with tempfile.TemporaryDirectory(prefix="slackwater-bench-") as folder:
        places = {"HOME": folder, "SLACKWATER_DB": str(Path(folder) / "c.db")}
        cost_of(["swimmer", "add", "Ines Aalto"], **places)
        for words, budget in COMMANDS:
            cost_of(words, **places)
            wall = statistics.median(cost_of(words, **places).wall_s for _ in range(runs))
            rows.append({"command": " ".join(words[:3]), "wall_s": round(wall, 3), "budget": budget})
    keep("startup", rows, f"whole processes, median of {runs}")
    return int(not all(within(row, "wall_s") for row in rows))
