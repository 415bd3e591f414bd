"""The scan of 1,000, 10,000 and more swimmers x 100 swims: cold, by one core and all, and from the cache."""

from __future__ import annotations

import hashlib
import tempfile
from pathlib import Path
from typing import Any

from tests.bench import rosters
from tests.bench.machine import Cost, cost_of, keep
from tests.bench.servers import a_server


def main(*sizes: int, server_up_to: int = 10_000) -> int:
    """Measure and keep; `sizes` are numbers of swimmers."""
    rows: list[dict[str, Any]] = []
    with tempfile.TemporaryDirectory(prefix="slackwater-bench-") as folder, a_server() as server:
        for size in sizes or (1_000, 10_000):
            places = {"SQLite": str(Path(folder) / f"{size}.db")}
            if server is not None and size <= server_up_to:
                places["PostgreSQL"] = server(f"scan_{size}")
            for kind, place in places.items():
                rosters.fill(place, size)
                rows += _measured(kind, place, size, Path(folder) / f"{kind}{size}")
    keep(
        "scan",
        rows,
        "whole processes with start-up, learning and printing; memory is that of all processes together; "
        "'first' also learns from the roster, as once a month",
    )
    return 0


def _measured(kind: str, place: str, size: int, home: Path) -> list[dict[str, Any]]:
    environment = {"HOME": str(home), "SLACKWATER_TODAY": rosters.LAST.isoformat()}
    home.mkdir()
    runs = {"first": [], "from the cache": [], "anew": ["--anew"]}
    if size <= 1_000:
        runs["anew, one process"] = ["--anew", "--workers", "1"]
    rows, said = [], set()
    for how, flags in runs.items():
        cost: Cost = cost_of(["scan", "--json", "--quiet", "--db", place, *flags], **environment)
        said.add(hashlib.sha256(cost.out).hexdigest())
        rows.append({"database": kind, "swimmers": size, "how": how, **cost.row()})
        print(rows[-1], flush=True)
    text = cost_of(["scan", "--quiet", "--db", place], **environment)
    rows.append({"database": kind, "swimmers": size, "how": "from the cache, as text", **text.row()})
    assert len(said) == 1, "the same bytes however it is done"
    return rows
