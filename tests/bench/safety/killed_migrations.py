"""Migrations killed at random moments: the database opens as the old or as the new one, with all it held."""

from __future__ import annotations

import random
import shutil
import signal
import sqlite3
import subprocess
import sys
import tempfile
import time
from collections import Counter
from contextlib import closing
from pathlib import Path

from tests.bench.safety.logbook import NOW
from tests.store.test_migrations import LATER
from tracker.model.swim import Swim
from tracker.model.swimmer import Swimmer
from tracker.store.database import Store
from tracker.store.migrating import MIGRATIONS
from tracker.store.version import SCHEMA

UPGRADE = """
import pathlib, sys
import tracker.store.migrating as up
from tracker.store import engine as db
up.MIGRATIONS, file = pathlib.Path(sys.argv[1]), pathlib.Path(sys.argv[2])
up.SCHEMA += 1
engine = db.make_engine(db.address_of(file))
print("ready", flush=True)
up.upgrade(engine, file, up.SCHEMA - 1)
"""
MORE = """
        with altered("swim") as batch:
            batch.add_column(sa.Column("lane", sa.Integer(), nullable=True))
            batch.create_check_constraint("swim_lane", '"lane" > 0')
"""


def killed_migrations(seed: int, count: int = 100) -> list[str]:
    """Kill `count` migrations that rebuild the swimmers' and the swims' tables."""
    chance = random.Random(seed)  # noqa: S311
    ended: Counter[str] = Counter()
    with tempfile.TemporaryDirectory() as place:
        folder = Path(place)
        shutil.copytree(MIGRATIONS, folder / "m", ignore=shutil.ignore_patterns("__pycache__"))
        (folder / "m" / "versions" / "v9999_lane.py").write_text(LATER + MORE.replace("\n        ", "\n    "))
        _fill(folder / "old.db")
        for _ in range(count):
            file = folder / "club.db"
            for old in folder.glob("club*"):
                old.unlink()
            shutil.copyfile(folder / "old.db", file)
            _killed(folder / "m", file, chance.uniform(0.0, 0.4))
            ended[_state(file)] += 1
    failed = "FAILED: " if set(ended) - {"old", "new"} else ""
    told = ", ".join(f"{state} {number}" for state, number in sorted(ended.items()))
    return [f"{failed}kill -9 x {count} during a migration that rebuilds two tables: opened as {told}"]


def _fill(file: Path) -> None:
    store = Store.open(file)
    with store.write(who="k", what="begin", at=NOW) as writer:
        swim = Swim(date=NOW.date(), swimmer="Ana Prova", distance_m=400, time_s=400)
        writer.add([Swimmer(swimmer="Ana Prova")])
        row = tuple(getattr(swim, name) for name in Swim.model_fields)
        writer.add_rows(Swim, [row] * 20_000, 20_000)
    store.close()


def _killed(migrations: Path, file: Path, delay: float) -> None:
    process = subprocess.Popen(
        [sys.executable, "-c", UPGRADE, str(migrations), str(file)], stdout=subprocess.PIPE, text=True
    )
    assert process.stdout is not None
    process.stdout.readline()
    time.sleep(delay)
    process.send_signal(signal.SIGKILL)
    process.wait()
    process.stdout.close()


def _state(file: Path) -> str:
    with closing(sqlite3.connect(file)) as connection:
        if connection.execute("PRAGMA integrity_check").fetchone() != ("ok",):
            return "damaged"
        version = connection.execute("PRAGMA user_version").fetchone()[0]
        counts = tuple(
            connection.execute(f"SELECT count(*) FROM {name}").fetchone()[0]  # noqa: S608 - own names
            for name in ("swimmer", "swim")
        )
        lanes = [
            any(row[1] == "lane" for row in connection.execute(f"PRAGMA table_info({name})"))
            for name in ("swimmer", "swim")
        ]
        left = connection.execute(
            "SELECT count(*) FROM sqlite_master WHERE name LIKE '_alembic%'"
        ).fetchone()[0]
    if counts != (1, 20_000) or left:
        return "half"
    return {(SCHEMA, False, False): "old", (SCHEMA + 1, True, True): "new"}.get((version, *lanes), "half")
