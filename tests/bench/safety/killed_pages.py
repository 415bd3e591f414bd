"""Page batches killed at random moments: every file under its final name is whole, old or new."""

from __future__ import annotations

import datetime as dt
import random
import signal
import subprocess
import sys
import tempfile
import time
from pathlib import Path

from tests.bench.safety.logbook import NOW
from tests.builders import START, a_season
from tracker.model.swim import Swim
from tracker.model.swimmer import Swimmer
from tracker.store.checking import check_file
from tracker.store.database import Store

MAKE = """
import sys, datetime as dt
from pathlib import Path
from tracker.store.database import Store
from tracker.app.pages import make_pages
from tracker.app.session import Session
from tracker.settings import DEFAULT
store, out = Store.open(sys.argv[1]), Path(sys.argv[2])
day = dt.date(2026, 1, 31)
session = Session(store, day, DEFAULT, "k", dt.datetime(2026, 1, 31, tzinfo=dt.UTC))
print("ready", flush=True)
while True:
    made = make_pages(session, day, out=out, formats=("pdf", "txt", "html"))
    print(len(made.written), flush=True)
"""
ENDINGS = {".pdf": b"%%EOF", ".html": b"</html>", ".txt": b"\n"}


def killed_pages(seed: int, count: int = 60) -> list[str]:
    """Kill `count` batches of pages of three swimmers; return what was torn."""
    chance = random.Random(seed)  # noqa: S311
    torn = bad = seen = 0
    with tempfile.TemporaryDirectory() as place:
        file, out = Path(place) / "club.db", Path(place) / "pages"
        _club(file)
        for _ in range(count):
            process = subprocess.Popen(
                [sys.executable, "-c", MAKE, str(file), str(out)], stdout=subprocess.PIPE, text=True
            )
            assert process.stdout is not None
            process.stdout.readline()
            time.sleep(chance.uniform(0.2, 3.5))
            process.send_signal(signal.SIGKILL)
            process.stdout.read()
            process.wait()
            finished = [path for path in out.glob("*") if path.suffix in ENDINGS]
            seen += len(finished)
            torn += sum(
                not path.read_bytes().rstrip(b" ").rstrip(b"\n").endswith(ENDINGS[path.suffix].rstrip(b"\n"))
                or path.stat().st_size == 0
                for path in finished
            )
            bad += bool(check_file(file, full=False))
    failed = "FAILED: " if torn or bad or not seen else ""
    return [
        f"{failed}kill -9 x {count} during pages of three swimmers (pdf, txt, html): {seen} files looked at "
        f"under their final names, torn {torn}, database findings {bad}"
    ]


def _club(file: Path) -> None:
    store = Store.open(file)
    with store.write(who="k", what="begin", at=NOW) as writer:
        for seed, name in enumerate(("Ana Prova", "Bo Lind", "Cleo Marsh")):
            days, paces = a_season([(6.0, 0.8), (6.0, 0.0)], seed=seed)
            writer.add([Swimmer(swimmer=name)])
            writer.add(
                [
                    Swim(date=START + _days(day), swimmer=name, test="t400", distance_m=400, time_s=4 * pace)
                    for day, pace in zip(days, paces, strict=True)
                ]
            )
    store.close()


def _days(count: int) -> dt.timedelta:
    return dt.timedelta(days=count)
