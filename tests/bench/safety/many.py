"""Many writers, backups under writers, random clubs through files and back."""

from __future__ import annotations

import subprocess
import sys
import tempfile
import time
from pathlib import Path

from hypothesis import HealthCheck, Phase, given, seed, settings

from tests.bench.safety.logbook import DAY, NOW, SCRATCH
from tests.builders import a_session
from tests.random_clubs import clubs
from tracker.app.export_club import export_club
from tracker.app.import_club import import_club
from tracker.model.base import Record
from tracker.model.swim import Swim
from tracker.model.swimmer import Swimmer
from tracker.store.checking import check_file
from tracker.store.copies import copy_file
from tracker.store.database import Store

EDIT = """
import sys, time, datetime as dt
from tracker.store.database import Store
from tracker.model.swim import Swim
store, edits = Store.open(sys.argv[1]), int(sys.argv[2])
now = dt.datetime(2026, 6, 30, 12, tzinfo=dt.UTC)
waits = []
for turn in range(edits):
    begun = time.perf_counter()
    with store.write(who="w", what="add one", at=now) as writer:
        waits.append(time.perf_counter() - begun)
        kept = writer.one(Swim, 1)
        writer.change(Swim, 1, kept.version, rest_s=kept.record.rest_s + 1)
print(*waits)
"""
ADD = """
import sys, time, datetime as dt
from tracker.store.database import Store
from tracker.model.swim import Swim
store = Store.open(sys.argv[1])
now = dt.datetime(2026, 6, 30, 12, tzinfo=dt.UTC)
while True:
    with store.write(who="w", what="add two", at=now) as writer:
        writer.add([Swim(date=now.date(), swimmer="Ana Prova", distance_m=400, time_s=400)] * 2)
"""


def _begun(folder: Path) -> Path:
    store = Store.open(folder / "club.db")
    with store.write(who="k", what="begin", at=NOW) as writer:
        writer.add(
            [
                Swimmer(swimmer="Ana Prova"),
                Swim(date=DAY, swimmer="Ana Prova", distance_m=400, time_s=400, rest_s=0),
            ]
        )
    store.close()
    return folder / "club.db"


def writers(_seed: int, count: int = 4, edits: int = 300) -> list[str]:
    """Let `count` processes each raise one number `edits` times."""
    with tempfile.TemporaryDirectory() as place:
        file = _begun(Path(place))
        running = [
            subprocess.Popen(
                [sys.executable, "-c", EDIT, str(file), str(edits)], stdout=subprocess.PIPE, text=True
            )
            for _ in range(count)
        ]
        said = [process.communicate()[0] for process in running]
        errors = sum(process.returncode != 0 for process in running)
        waits = sorted(float(word) for text in said for word in text.split())
        with Store.open(file).read() as reader:
            reached = reader.one(Swim, 1).record.rest_s or 0
        lost = count * edits - int(reached)
        bad = len(check_file(file, full=True))
    failed = "FAILED: " if lost or errors or bad else ""
    p99 = waits[int(0.99 * len(waits))] if waits else 0
    return [
        f"{failed}{count} writers x {edits} edits of one number: lost updates {lost}, "
        f"failed processes {errors}, findings {bad}; wait for the lock p99 {1000 * p99:.0f} ms, "
        f"longest {1000 * waits[-1]:.0f} ms"
    ]


def backups(_seed: int, count: int = 30) -> list[str]:
    """Back up `count` times under two writers."""
    good = 0
    sizes = []
    with tempfile.TemporaryDirectory() as place:
        file = _begun(Path(place))
        running = [subprocess.Popen([sys.executable, "-c", ADD, str(file)]) for _ in range(2)]
        time.sleep(2)
        try:
            for number in range(count):
                copied = copy_file(file, Path(place) / f"{number}.db")
                whole = (
                    copied.rows["swim"] % 2 == 1
                    and copied.rows["history_entry"] == (copied.rows["swim"] + 1) // 2
                )
                good += whole and not check_file(copied.path, full=True)
                sizes.append(copied.rows["swim"])
                time.sleep(0.05)
        finally:
            for process in running:
                process.kill()
                process.wait()
    failed = "" if good == count else "FAILED: "
    return [
        f"{failed}{good} of {count} backups under two writers are whole and of one moment "
        f"({sizes[0]} to {sizes[-1]} swims)"
    ]


def random_clubs(start: int, count: int = 5000) -> list[str]:
    """Send `count` random clubs through export, import and export."""
    tried = 0

    @seed(start)
    @given(clubs(20))
    @settings(
        max_examples=count,
        deadline=None,
        database=None,
        suppress_health_check=list(HealthCheck),
        phases=(Phase.generate,),
    )
    def through(club: list[Record]) -> None:
        nonlocal tried
        with tempfile.TemporaryDirectory(dir=SCRATCH) as folder:
            place = Path(folder)
            first, second = Store.open(place / "1.db"), Store.open(place / "2.db")
            with first.write(who="c", what="add", at=NOW) as writer:
                writer.add(club)
            export_club(a_session(first), place / "once")
            report = import_club(a_session(second, today=DAY, now=NOW), place / "once")
            export_club(a_session(second), place / "again")
            first.close()
            second.close()
            assert report.problems == ()
            for file in (place / "once").iterdir():
                assert file.read_bytes() == (place / "again" / file.name).read_bytes(), file.name
        tried += 1

    try:
        through()
    except AssertionError as error:
        return [f"FAILED: after {tried} clubs: {error}"]
    return [
        f"{tried} random clubs through export, import into an empty database, export: "
        "all the same to the byte"
    ]
