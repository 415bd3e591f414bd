"""The import of a million swims from CSV into an empty database."""

from __future__ import annotations

import tempfile
from pathlib import Path

from tests.bench import rosters
from tests.bench.machine import cost_of, keep


def main(swims: int = 1_000_000) -> int:
    """Measure and keep."""
    with tempfile.TemporaryDirectory(prefix="slackwater-bench-") as folder:
        file, database = Path(folder) / "swims.csv", Path(folder) / "club.db"
        rosters.write_file(file, swims // rosters.SWIMS)
        environment = {"HOME": folder, "SLACKWATER_TODAY": rosters.LAST.isoformat()}
        words = ["import", str(file), "--db", str(database), "--quiet", "--max-rows", str(2 * swims)]
        cost = cost_of([*words, "--max-size", "2000"], **environment)
        size = database.stat().st_size / 1e6
        keep(
            "import",
            [
                {
                    "swims": swims,
                    "file_mb": round(file.stat().st_size / 1e6),
                    **cost.row(),
                    "database_mb": round(size),
                }
            ],
        )
    return 0
