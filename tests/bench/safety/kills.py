"""Processes killed at random moments: what was acknowledged must be there, nothing may be half done."""

from __future__ import annotations

import random
import signal
import subprocess
import sys
import tempfile
import time
from pathlib import Path

from tests.bench.safety.logbook import NOW
from tracker.model.swim import Swim
from tracker.model.swimmer import Swimmer
from tracker.store.checking import check_file
from tracker.store.database import Store

WRITE = """
import sys, datetime as dt
from pathlib import Path
from tracker.store.database import Store
from tracker.model.swim import Swim
from tracker.app.import_club import import_club
from tracker.app.export_club import export_club
from tracker.app.copies import back_up
from tracker.app.session import Session
from tracker.settings import DEFAULT
store, how, folder, first = Store.open(sys.argv[1]), sys.argv[2], Path(sys.argv[3]), int(sys.argv[4])
now, day = dt.datetime(2026, 6, 30, 12, tzinfo=dt.UTC), dt.date(2026, 6, 30)
session = Session(store, day, DEFAULT, "k", now)
print("ready", flush=True)
number = first
while True:
    number += 1
    if how == "entry":
        with store.write(who="k", what="log", at=now) as writer:
            writer.add([Swim(date=day, swimmer="Ana Prova", distance_m=400, time_s=400, set_id=str(number))])
    elif how == "import":
        rows = "".join(f"2026-06-30,Ana Prova,400,400,{number}\\n" for _ in range(200))
        (folder / "swims.csv").write_text("date,swimmer,distance_m,time,set\\n" + rows)
        import_club(session, folder / "swims.csv")
    elif how == "export":
        export_club(session, folder / "out", force=True)
    else:
        back_up(session, folder / "copy.db", force=True)
    print(number, flush=True)
"""


def kills(seed: int, count: int = 300) -> list[str]:
    """Kill `count` processes; return what was lost."""
    chance = random.Random(seed)  # noqa: S311
    lost = bad = torn = acknowledged = 0
    with tempfile.TemporaryDirectory() as place:
        folder = Path(place)
        file = folder / "club.db"
        store = Store.open(file)
        with store.write(who="k", what="begin", at=NOW) as writer:
            writer.add([Swimmer(swimmer="Ana Prova")])
        store.close()
        first = 0
        for turn in range(count):
            how = ("entry", "import", "export", "backup")[turn % 4]
            done = _until_killed(file, how, folder, first, chance.uniform(0.0, 0.25))
            acknowledged += len(done)
            first = max([first, *done]) + 1
            if how in {"entry", "import"}:
                there = _there(file)
                lost += sum(there.get(number, 0) != (1 if how == "entry" else 200) for number in done)
                torn += sum(count not in {1, 200} for count in there.values())
            for copy in (file, folder / "copy.db"):
                bad += copy.exists() and bool(check_file(copy, full=turn % 20 == 0))
            torn += sum(not _complete(path) for path in (folder / "out").glob("*.csv"))
    failed = "FAILED: " if lost or bad or torn else ""
    return [
        f"{failed}kill -9 x {count} (entry, import of 200 rows, export, backup in turn): "
        f"{acknowledged} acknowledged, lost {lost}, half done {torn}, integrity failures {bad}"
    ]


def _until_killed(file: Path, how: str, folder: Path, first: int, delay: float) -> list[int]:
    process = subprocess.Popen(
        [sys.executable, "-c", WRITE, str(file), how, str(folder), str(first)],
        stdout=subprocess.PIPE,
        text=True,
    )
    assert process.stdout is not None
    process.stdout.readline()
    time.sleep(delay)
    process.send_signal(signal.SIGKILL)
    said = process.stdout.read().splitlines()
    process.wait()
    return [int(line) for line in said if line.isdigit()]


def _there(file: Path) -> dict[int, int]:
    store = Store.open(file)
    found: dict[int, int] = {}
    with store.read() as reader:
        place = list(Swim.model_fields).index("set_id")
        for row in reader.rows(Swim):
            found[int(row[place])] = found.get(int(row[place]), 0) + 1
    store.close()
    return found


def _complete(path: Path) -> bool:
    return path.read_bytes().endswith(b"\r\n")
