"""All benchmarks as one command: ``python -m tests.bench [NAME...]``; results lie under reports/bench/.

``scan 100000`` measures another size, of those that have one. The machine, its load and the versions stand
beside each result. Leaves with 1 if a figure is over its budget.
"""

from __future__ import annotations

import compileall
import subprocess
import sys
from collections.abc import Callable

from tests.bench import anew, imports, numerics, pages, scans, screens, startup
from tests.bench.machine import ROOT

ALL: dict[str, Callable[..., int]] = {
    "numerics": numerics.main,
    "startup": startup.main,
    "anew": anew.main,
    "scan": scans.main,
    "import": imports.main,
    "pages": pages.main,
    "screens": screens.main,
}


def main(words: list[str]) -> int:
    """Run the benchmarks named, or all; a number after a name is its size."""
    sizes = [int(word) for word in words if word.isdigit()]
    wanted = [word for word in words if not word.isdigit()] or list(ALL)
    for name in wanted:
        if name not in ALL:
            print(f"no benchmark is called {name!r}; there are {', '.join(ALL)}", file=sys.stderr)
            return 2
    if len(wanted) > 1:  # each in a process of its own, so that none warms or fattens the next
        one = [sys.executable, "-m", "tests.bench"]
        codes = [subprocess.run([*one, name], cwd=ROOT, check=False).returncode for name in wanted]
        return int(any(codes))
    compileall.compile_dir(ROOT / "tracker", quiet=2)  # as after the first use
    return ALL[wanted[0]](*sizes)


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
