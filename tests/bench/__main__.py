"""All benchmarks as one command: ``python -m tests.bench [NAME...]``; results lie under reports/bench/.

``scan 100000`` measures other sizes. The machine, its load and the versions stand beside each result.
"""

from __future__ import annotations

import subprocess
import sys
from collections.abc import Callable

from tests.bench import imports, numerics, scans
from tests.bench.machine import ROOT, keep


def _script(name: str) -> Callable[[], None]:
    """Return what runs a benchmark that prints its figures, and keeps its lines."""

    def run() -> None:
        done = subprocess.run(
            [sys.executable, "-m", f"tests.bench.{name}"],
            cwd=ROOT,
            capture_output=True,
            text=True,
            check=False,
        )
        keep(name, [{"said": line} for line in done.stdout.splitlines()], f"exit code {done.returncode}")

    return run


ALL: dict[str, Callable[..., None]] = {
    "numerics": numerics.main,
    "startup": _script("startup"),
    "scan": lambda *sizes: scans.main(*([sizes] if sizes else [])),
    "import": imports.main,
    "pages": _script("pages"),
    "screens": _script("screens"),
}


def main(words: list[str]) -> int:
    """Run the benchmarks named, or all; a number after a name is its size."""
    wanted = [word for word in words if not word.isdigit()] or list(ALL)
    for name in wanted:
        if name not in ALL:
            print(f"no benchmark is called {name!r}; there are {', '.join(ALL)}", file=sys.stderr)
            return 2
    for name in wanted:
        ALL[name](*(int(word) for word in words if word.isdigit() and len(wanted) == 1))
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
