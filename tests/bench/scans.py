"""The scan of 1,000, 10,000 and more swimmers x 100 swims: cold, by one core and all, and from the cache."""

from __future__ import annotations

import hashlib
import tempfile
from itertools import pairwise
from pathlib import Path
from typing import Any

from tests.bench import rosters
from tests.bench.machine import Cost, cost_of, keep
from tests.bench.servers import a_server

NOTE = (
    "whole processes with start-up, learning and printing; memory is that of all processes together, a "
    "server's own apart; 'first' also learns from the roster, as once a month; 'each' is what one more "
    "swimmer costs between two sizes"
)


def main(*sizes: int, server_up_to: int = 10_000) -> int:
    """Measure and keep; `sizes` are numbers of swimmers. A hundred thousand take 1.3 GB for the while."""
    rows: list[dict[str, Any]] = []
    with tempfile.TemporaryDirectory(prefix="slackwater-bench-") as folder, a_server() as server:
        for size in sizes or (1_000, 10_000, 100_000):
            places: dict[str, tuple[str, int | None]] = {"SQLite": (str(Path(folder) / f"{size}.db"), None)}
            if server is not None and size <= server_up_to:
                places["PostgreSQL"] = server.make(f"scan_{size}"), server.pid
            for kind, (place, pid) in places.items():
                rosters.fill(place, size)
                rows += _measured(kind, place, size, Path(folder) / f"{kind}{size}", pid)
    keep("scan", [*rows, *_growth(rows)], NOTE)
    return 0


def _growth(rows: list[dict[str, Any]]) -> list[dict[str, Any]]:
    """Return what one more swimmer costs from each size to the next, start-up apart."""
    found = []
    for kind, how in dict.fromkeys((row["database"], row["how"]) for row in rows):
        same = [row for row in rows if (row["database"], row["how"]) == (kind, how)]
        for few, many in pairwise(same):
            more = (many["swimmers"] - few["swimmers"]) / 1000
            each = {
                name: round((many[name] - few[name]) / more, 2) for name in ("wall_s", "cpu_s", "memory_mb")
            }
            found.append(
                {
                    "database": kind,
                    "how": how,
                    "from": few["swimmers"],
                    "to": many["swimmers"],
                    "wall_ms_each": each["wall_s"],
                    "cpu_ms_each": each["cpu_s"],
                    "memory_kb_each": each["memory_mb"],
                }
            )
    return found


def _measured(kind: str, place: str, size: int, home: Path, server: int | None) -> list[dict[str, Any]]:
    environment = {"HOME": str(home), "SLACKWATER_TODAY": rosters.LAST.isoformat()}
    home.mkdir()
    runs = {"first": [], "from the cache": [], "anew": ["--anew"]}
    if size <= 1_000:
        runs["anew, one process"] = ["--anew", "--workers", "1"]
    rows, said = [], set()
    for how, flags in runs.items():
        cost: Cost = cost_of(
            ["scan", "--json", "--quiet", "--db", place, *flags], server=server, **environment
        )
        said.add(hashlib.sha256(cost.out).hexdigest())
        rows.append({"database": kind, "swimmers": size, "how": how, **cost.row()})
        print(rows[-1], flush=True)
    text = cost_of(["scan", "--quiet", "--db", place], server=server, **environment)
    rows.append({"database": kind, "swimmers": size, "how": "from the cache, as text", **text.row()})
    assert len(said) == 1, "the same bytes however it is done"
    return rows
