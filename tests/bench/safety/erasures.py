"""After an erasure: the name sought in every file of the database in five encodings, packed history too."""

from __future__ import annotations

import json
import random
import sqlite3
import tempfile
import zlib
from contextlib import closing
from pathlib import Path

from tests.bench.safety.edits import Coach
from tests.bench.safety.logbook import DAY, NOW, SCRATCH
from tests.builders import a_session
from tracker.app.erase_swimmer import Folders, erase_swimmer
from tracker.store.checking import check_file
from tracker.store.database import Store


def _forms(name: str) -> dict[str, bytes]:
    return {
        "UTF-8": name.encode(),
        "UTF-16 LE": name.encode("utf-16-le"),
        "UTF-16 BE": name.encode("utf-16-be"),
        "JSON escapes": json.dumps(name)[1:-1].encode(),
        "Windows-1252": name.encode("cp1252"),
    }


def _hits(file: Path, name: str) -> int:
    """Count the name in the files as they lie there, and in every packed step of the history."""
    raw = [path.read_bytes() for path in file.parent.glob(f"{file.name}*")]
    with closing(sqlite3.connect(file)) as connection:
        packed = connection.execute("SELECT content FROM history_step WHERE content IS NOT NULL")
        raw += [zlib.decompress(content) for (content,) in packed]
    return sum(text.count(form) for text in raw for form in _forms(name).values())


def erasures(seed: int, count: int = 100, steps: int = 60) -> list[str]:
    """Erase one swimmer out of each of `count` databases with a lively history."""
    hits = before = others = findings = done = 0
    for number in range(count):
        chance = random.Random(seed * 1_000_000 + number)  # noqa: S311
        with tempfile.TemporaryDirectory(dir=SCRATCH) as folder:
            file = Path(folder) / "x.db"
            store = Store.open(file)
            coach = Coach(store, chance, label="Zoë Käthe {} Prüfer")
            for _ in range(steps):
                coach.step()
            if not coach.people:
                store.close()
                continue
            person, label = chance.choice(list(coach.people.items()))
            before += _hits(file, label) > 0
            home = Folders(own=(), pages=Path(folder) / "pages")
            erase_swimmer(a_session(store, today=DAY, who="coach", now=NOW), label, folders=home)
            hits += _hits(file, label)
            del coach.people[person]
            coach.swims = {n: swim for n, swim in coach.swims.items() if swim["swimmer"] != label}
            others += not coach.agrees()
            while coach.undo_whatever_stands(NOW):
                pass
            hits += _hits(file, label)
            findings += len(check_file(file, full=True))
            store.close()
            done += 1
    failed = "FAILED: " if hits or others or findings else ""
    return [
        f"{failed}{done} erasures after {steps} random edits each: names found before in {before}; "
        f"hits after, in {len(_forms('x'))} encodings, and again after undoing all that stands {hits}; "
        f"others' rows changed {others}; findings of check {findings}"
    ]
