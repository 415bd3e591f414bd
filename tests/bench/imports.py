"""The import of a million swims from CSV into an empty database, a file and one on a server."""

from __future__ import annotations

import tempfile
from pathlib import Path
from typing import Any

from tests.bench import rosters
from tests.bench.machine import cost_of, keep
from tests.bench.servers import a_server


def main(swims: int = 1_000_000) -> int:
    """Measure and keep."""
    rows: list[dict[str, Any]] = []
    with tempfile.TemporaryDirectory(prefix="slackwater-bench-") as folder, a_server() as server:
        file, database = Path(folder) / "swims.csv", Path(folder) / "club.db"
        rosters.write_file(file, swims // rosters.SWIMS)
        environment = {"HOME": folder, "SLACKWATER_TODAY": rosters.LAST.isoformat()}
        words = ["import", str(file), "--quiet", "--max-rows", str(2 * swims), "--max-size", "2000"]

        def row(kind: str, place: str, pid: int | None = None) -> dict[str, Any]:
            cost = cost_of([*words, "--db", place], server=pid, **environment)
            megabytes = round(file.stat().st_size / 1e6)
            return {"database": kind, "swims": swims, "file_mb": megabytes, **cost.row()}

        rows.append({**row("SQLite", str(database)), "database_mb": round(database.stat().st_size / 1e6)})
        if server is not None:
            there = row("PostgreSQL", server.make("club"), server.pid)
            rows.append({**there, "database_mb": round(server.size_mb("club"))})
    keep("import", rows, "whole processes; a server's own processor time and memory stand apart")
    return 0
