"""Random bytes into every parser, and single bytes flipped in a database."""

from __future__ import annotations

import io
import random
import resource
import shutil
import tempfile
import time
import zipfile
from collections.abc import Callable
from pathlib import Path

from tests.bench.safety.logbook import NOW, SCRATCH
from tracker.entry.club_files import Reading, read_club_files
from tracker.entry.dates import parse_date
from tracker.entry.headers import read_column_map
from tracker.entry.times import parse_number, parse_time
from tracker.errors import SlackwaterError
from tracker.model.swim import Swim
from tracker.model.swimmer import Swimmer
from tracker.store.checking import check_file
from tracker.store.checksums import digest_beside
from tracker.store.database import Store

SEEDS = (
    "date,swimmer,test,distance_m,time\n2026-05-04,Ana,t400,400,6:45.2\n",
    "Datum;Name;Strecke;Zeit\n01.02.2026;Zoë;400;1:02,3\n",
    "from,to,swimmer,kind,note\n2026-05-04,,Ana,camp,\"a\nb\"\n", "swimmer,group,born\nAna,A,1980\n",
)  # fmt: skip
ALPHABET = "0123456789:.,;-/+ \t\n\r\"'=@\x00\x1b\x9b\u202e\ufeff١１eEnaifT[]{}$\\" + "é李"


def mangled(chance: random.Random, text: bytes) -> bytes:
    """Return bytes with some replaced, doubled, cut out or put in."""
    raw = bytearray(text)
    for _ in range(chance.randrange(1, 8)):
        place = chance.randrange(len(raw) + 1)
        what = chance.randrange(4)
        if what == 0 and raw:
            raw[place % len(raw)] = chance.randrange(256)
        elif what == 1:
            raw[place:place] = chance.choice(ALPHABET).encode()
        elif what == 2:
            del raw[place : place + chance.randrange(6)]
        else:
            raw[place:place] = raw[place : place + chance.randrange(40)]
    return bytes(raw)


def fuzz(seed: int, count: int = 200_000) -> list[str]:
    """Feed each parser `count` inputs; only our own errors may come out."""
    chance = random.Random(seed)  # noqa: S311
    lines = []
    words: dict[str, Callable[[str], object]] = {
        "time": parse_time,
        "number": parse_number,
        "date": parse_date,
        "date dmy": lambda text: parse_date(text, "dmy"),
    }
    starts = ["6:45.2", "1:02:03", "405", "2026-05-04", "01/02/2026", "-0.5", ""]

    def word() -> str:
        return mangled(chance, chance.choice(starts).encode()).decode("utf-8", "surrogateescape")

    lines += [_fed(name, count, word, parse, ValueError) for name, parse in words.items()]
    with tempfile.TemporaryDirectory(dir=SCRATCH) as place:
        file, told = Path(place) / "swims.csv", Path(place) / "m.toml"

        def through(path: Path, read: Callable[[], object]) -> Callable[[bytes], object]:
            def feed(raw: bytes) -> object:
                path.write_bytes(raw)
                return read()

            return feed

        def text() -> bytes:
            return mangled(chance, chance.choice(SEEDS).encode())

        lines.append(
            _fed(
                "CSV file",
                count,
                text,
                through(file, lambda: read_club_files(file, Reading())),
                (SlackwaterError,),
            )
        )
        toml = b'file = "swims"\n[columns]\n"A" = "date"\n[fixed]\ncourse = "SCM"\n'
        feed = through(told, lambda: read_column_map(told))
        lines.append(_fed("map file", count, lambda: mangled(chance, toml), feed, SlackwaterError))
    lines.append(f"largest memory {resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1000:.0f} MB")
    return lines


def fuzz_workbooks(seed: int, count: int = 200_000) -> list[str]:
    """Feed the reader of workbooks `count` mangled ones; return what it made of them."""
    chance = random.Random(seed)  # noqa: S311
    packed = _workbook()
    with tempfile.TemporaryDirectory(dir=SCRATCH) as place:
        book = Path(place) / "x.xlsx"

        def pack() -> bytes:
            return mangled(chance, packed) if chance.random() < 0.3 else _inside(chance, packed)

        def feed(raw: bytes) -> object:
            book.write_bytes(raw)
            return read_club_files(book, Reading())

        return [_fed("XLSX file", count, pack, feed, SlackwaterError)]


def _fed(
    name: str,
    count: int,
    make: Callable[[], object],
    parse: Callable[..., object],
    ours: type[Exception],
) -> str:
    crashes: dict[str, int] = {}
    refused, longest = 0, 0.0
    for _ in range(count):
        given = make()
        begun = time.perf_counter()
        try:
            parse(given)
        except ours:
            refused += 1
        except BaseException as error:
            key = f"{type(error).__name__}: {str(error)[:80]}"
            crashes[key] = crashes.get(key, 0) + 1
            if isinstance(error, KeyboardInterrupt):
                raise
        longest = max(longest, time.perf_counter() - begun)
    failed = "FAILED: " if crashes else ""
    return (
        f"{failed}{name}: {count} inputs, {refused} refused, other exceptions {crashes or 0}; "
        f"longest {longest:.2f} s"
    )


def _workbook() -> bytes:
    from openpyxl import Workbook

    book = Workbook()
    sheet = book.active
    assert sheet is not None
    sheet.append(["date", "swimmer", "test", "distance_m", "time"])
    sheet.append(["2026-05-04", "Ana", "t400", 400, 405.2])
    stream = io.BytesIO()
    book.save(stream)
    return stream.getvalue()


def _inside(chance: random.Random, packed: bytes) -> bytes:
    """Return a workbook of which one part is mangled and packed again."""
    stream = io.BytesIO()
    with zipfile.ZipFile(io.BytesIO(packed)) as old, zipfile.ZipFile(stream, "w") as new:
        victim = chance.choice(old.namelist())
        for name in old.namelist():
            raw = old.read(name)
            new.writestr(name, mangled(chance, raw) if name == victim else raw)
    return stream.getvalue()


def flips(seed: int, count: int = 500) -> list[str]:
    """Flip one byte in `count` copies of a database as it was closed: `check` must notice each."""
    chance = random.Random(seed)  # noqa: S311
    noticed = unused = unnoticed = crashed = 0
    with tempfile.TemporaryDirectory(dir=SCRATCH) as place:
        file = Path(place) / "x.db"
        store = Store.open(file)
        for group in range(40):
            with store.write(who="c", what="fill", at=NOW) as writer:
                label = f"Swimmer {group}"
                swims = [
                    Swim(date=NOW.date(), swimmer=label, distance_m=400, time_s=400 + i, note=f"n{i}")
                    for i in range(40)
                ]
                writer.add([Swimmer(swimmer=label), *swims])
        store.undo(at=NOW)
        store.close()
        raw = file.read_bytes()
        for _ in range(count):
            flipped = bytearray(raw)
            flipped[chance.randrange(len(raw))] ^= chance.randrange(1, 256)
            victim = Path(place) / "victim.db"
            for ending in ("", "-wal", "-shm", "-journal"):
                Path(f"{victim}{ending}").unlink(missing_ok=True)
            victim.write_bytes(flipped)
            victim.chmod(0o600)
            shutil.copy(digest_beside(file), digest_beside(victim))
            try:
                found = check_file(victim, full=True)
            except Exception:  # noqa: BLE001 - that is what is counted
                crashed += 1
                continue
            noticed += bool(found)
            unnoticed += not found
            unused += len(found) == 1 and "byte for byte" in found[0].what
    failed = "FAILED: " if unnoticed or crashed else ""
    return [
        f"{failed}{count} single flipped bytes in a file of {len(raw) // 1000} kB: noticed {noticed}, "
        f"of them {unused} by the file's digest alone; unnoticed {unnoticed}; crashes {crashed}"
    ]
