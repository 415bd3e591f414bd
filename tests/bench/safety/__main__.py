"""Run the figures named on the command line, or all."""

from __future__ import annotations

import sys

from tests.bench.safety.edits import edits
from tests.bench.safety.erasures import erasures
from tests.bench.safety.full_disk import full_disk
from tests.bench.safety.full_server import full_server
from tests.bench.safety.killed_migrations import killed_migrations
from tests.bench.safety.killed_pages import killed_pages
from tests.bench.safety.kills import kills
from tests.bench.safety.logbook import logged
from tests.bench.safety.many import backups, random_clubs, writers
from tests.bench.safety.noise import flips, fuzz, fuzz_workbooks

FIGURES = {
    "kills": kills,
    "killed_migrations": killed_migrations,
    "killed_pages": killed_pages,
    "full_disk": full_disk,
    "full_server": full_server,
    "backups": backups,
    "random_clubs": random_clubs,
    "edits": edits,
    "writers": writers,
    "erasures": erasures,
    "fuzz": fuzz,
    "fuzz_workbooks": fuzz_workbooks,
    "flips": flips,
}

if __name__ == "__main__":
    wanted = sys.argv[1:] or list(FIGURES)
    failed = [name for name in wanted if not logged(name, 1, FIGURES[name])]
    sys.exit(bool(failed))
