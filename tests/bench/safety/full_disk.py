"""A disk that fails or fills at the n-th write, for each of the first n: no half state."""

from __future__ import annotations

import errno
import os
import subprocess
import sys
import tempfile
from pathlib import Path

from tests.bench.safety.logbook import NOW
from tracker.model.swim import Swim
from tracker.model.swimmer import Swimmer
from tracker.store.checking import check_file
from tracker.store.database import Store

SHIM = r"""
#define _GNU_SOURCE
#include <dlfcn.h>
#include <errno.h>
#include <stdlib.h>
#include <string.h>
#include <stdio.h>
#include <unistd.h>
#include <sys/types.h>
static long seen = 0;
static int fails(int fd) {
    char link[64], path[4096];
    snprintf(link, sizeof link, "/proc/self/fd/%d", fd);
    ssize_t n = readlink(link, path, sizeof path - 1);
    if (n < 0) return 0;
    path[n] = 0;
    const char *part = getenv("FAIL_IN");
    if (!part || !strstr(path, part)) return 0;
    if (++seen < atol(getenv("FAIL_AT"))) return 0;
    errno = atoi(getenv("FAIL_WITH"));
    return 1;
}
#define REAL(name) ((__typeof__(&name))dlsym(RTLD_NEXT, #name))
ssize_t write(int fd, const void *b, size_t n) { return fails(fd) ? -1 : REAL(write)(fd, b, n); }
ssize_t pwrite64(int fd, const void *b, size_t n, off64_t o) {
    return fails(fd) ? -1 : REAL(pwrite64)(fd, b, n, o);
}
ssize_t pwrite(int fd, const void *b, size_t n, off_t o) {
    return fails(fd) ? -1 : REAL(pwrite)(fd, b, n, o);
}
int fsync(int fd) { return fails(fd) ? -1 : REAL(fsync)(fd); }
int fdatasync(int fd) { return fails(fd) ? -1 : REAL(fdatasync)(fd); }
"""


def full_disk(seed: int, count: int = 100) -> list[str]:
    """Fail at each of the first `count` writes and syncs, with a full disk and with an I/O error."""
    del seed  # every place is tried, none at random
    with tempfile.TemporaryDirectory() as place:
        shim = Path(place) / "shim.so"
        (Path(place) / "shim.c").write_text(SHIM)
        subprocess.run(["cc", "-shared", "-fPIC", "-O1", "-o", shim, f"{place}/shim.c", "-ldl"], check=True)
        tries = [
            (verb, code) for verb in ("import", "backup", "export") for code in (errno.ENOSPC, errno.EIO)
        ]
        return [_tried(shim, verb, code, count) for verb, code in tries]


def _tried(shim: Path, verb: str, code: int, count: int) -> str:
    half = bad = untold = reached = 0
    for number in range(1, count + 1):
        with tempfile.TemporaryDirectory() as place:
            folder = Path(place) / "victim"
            file = folder / "club.db"
            _begin(file)
            words = {
                "import": [str(folder / "swims.csv")],
                "backup": [str(folder / "c.db")],
                "export": [str(folder / "out")],
            }
            (folder / "swims.csv").write_text(
                "date,swimmer,distance_m,time\n"
                + "".join(f"2026-06-30,Bo {i % 9},400,400\n" for i in range(3000))
            )
            failing = {
                "LD_PRELOAD": str(shim),
                "FAIL_IN": "/victim/",
                "FAIL_AT": str(number),
                "FAIL_WITH": str(code),
            }
            done = subprocess.run(
                [sys.executable, "-m", "tracker", "--db", str(file), verb, *words[verb]],
                env={**os.environ, **failing, "SLACKWATER_TODAY": "2026-06-30"},
                capture_output=True,
                text=True,
                check=False,
            )
            reached += done.returncode != 0
            untold += done.returncode != 0 and ("error: " not in done.stderr or "Traceback" in done.stderr)
            store = Store.open(file)
            with store.read() as reader:
                half += reader.count(Swim) not in {1, 3001}
            store.close()
            bad += bool(check_file(file, full=True))
            bad += (folder / "c.db").exists() and bool(check_file(folder / "c.db", full=True))
            half += sum(not path.read_bytes().endswith(b"\r\n") for path in (folder / "out").glob("*.csv"))
    failed = "FAILED: " if half or bad or untold else ""
    return (
        f"{failed}{errno.errorcode[code]} from write 1 .. {count} on during {verb}: {reached} runs failed "
        f"and said so in one line (untold {untold}), the rest ended before that write; half states {half}, "
        f"integrity failures {bad}"
    )


def _begin(file: Path) -> None:
    store = Store.open(file)
    with store.write(who="k", what="begin", at=NOW) as writer:
        swim = Swim(date=NOW.date(), swimmer="Ana Prova", distance_m=400, time_s=400)
        writer.add([Swimmer(swimmer="Ana Prova"), swim])
    store.close()
