"""`python -m tests.mutation [--each N] [--seed N] [--folder NAME ...] ...`: plant small mistakes.

A sample of mutants of four folders, each tried against the tests beside it and, where it survives them,
against tests further up. Rewrites reports/mutation.

Why a script of our own: of the two libraries for it one changes function bodies only, and half of what was
found by hand stood outside of them (constants, default settings, closed sets); the other changes the files
in place, one command for all folders, with no sample of a stated seed. Both start a fresh process for each
mutant; here a fork has the scientific libraries loaded already, which on this suite is most of the time.
"""

from __future__ import annotations

import argparse
import os
import random
import resource
import sys
import time
from collections.abc import Sequence
from pathlib import Path

from tests.mutation.operators import Mutant, mutants_of
from tests.mutation.report import SURVIVED, Outcome, write
from tests.mutation.trial import ROOT, begin, beside_first, result_of, warm_up

JUDGED, LOGGED = "tests/app/test_judge.py", "tests/app/test_log_test.py"
FROZEN = "tests/architecture/test_frozen.py"
FORMS_AND_FILES = (
    "tests/app/test_technique_entry.py",
    "tests/app/test_judge_file.py",
    "tests/app/test_import_club.py",
    "tests/cli/test_log_squad.py",
    "tests/cli/test_swim.py",
)
FOLDERS: dict[str, tuple[tuple[str, ...], tuple[str, ...]]] = {
    "tracker/engine/verdict": (("tests/engine/verdict",), (JUDGED, "tests/app/test_why.py", FROZEN)),
    "tracker/engine/series": (("tests/engine/series",), (JUDGED, FROZEN)),
    "tracker/technique": (
        ("tests/technique",),
        ("tests/stories", "tests/app/test_technique_entry.py", FROZEN),
    ),
    "tracker/entry": (("tests/entry",), (LOGGED, *FORMS_AND_FILES, FROZEN)),
}
"""Each folder with the tests beside it, and with those further up that its survivors are tried against."""


def sampled(folder: str, each: int, seed: int) -> list[Mutant]:
    """Return `each` mutants of a folder, every one as likely as any other; all where there are fewer."""
    every = [
        mutant
        for path in sorted((ROOT / folder).rglob("*.py"))
        for mutant in mutants_of(str(path.relative_to(ROOT)), path.read_bytes())
    ]
    return random.Random(f"{seed} {folder}").sample(every, min(each, len(every)))  # noqa: S311


def tried(
    mutants: Sequence[Mutant], tests: Sequence[str], processes: int, minutes: float
) -> dict[Mutant, str]:
    """Return what came of each mutant, after the code as it is has passed the same tests.

    None is begun after so many minutes; those before them are a sample of their own, in drawn order.
    """
    limit = 3 * _as_it_is(tests) + 20
    end = time.monotonic() + 60 * minutes
    waiting = list(reversed(mutants))
    running: dict[int, Mutant] = {}
    found: dict[Mutant, str] = {}
    while running or (waiting and time.monotonic() < end):
        while waiting and len(running) < processes and time.monotonic() < end:
            mutant = waiting.pop()
            running[begin(mutant, beside_first(mutant.file, tests), limit)] = mutant
        process, status = os.wait()
        mutant = running.pop(process)
        found[mutant] = result_of(status)
        print(f"{found[mutant]:12} {mutant.file}:{mutant.line} {mutant.old!r} -> {mutant.new!r}", flush=True)
    return found


def _as_it_is(tests: Sequence[str]) -> float:
    """Return the seconds of work that the tests take; end if they fail without any mutant."""
    before = resource.getrusage(resource.RUSAGE_CHILDREN)
    process = begin(None, beside_first("", tests), 3600)
    if result_of(os.waitpid(process, 0)[1]) != SURVIVED:
        sys.exit(f"{' '.join(tests)}: fails without any change; mend that first")
    after = resource.getrusage(resource.RUSAGE_CHILDREN)
    return after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime


def main(words: Sequence[str] | None = None) -> None:
    parser = argparse.ArgumentParser(prog="python -m tests.mutation", description="plant small mistakes")
    parser.add_argument("--each", type=int, default=30, help="mutants of each folder (30)")
    parser.add_argument("--seed", type=int, default=1, help="of the sample (1)")
    parser.add_argument("--folder", nargs="+", choices=list(FOLDERS), default=list(FOLDERS))
    parser.add_argument("--processes", type=int, default=os.cpu_count() or 1)
    parser.add_argument("--minutes", type=float, default=60.0, help="a folder begins no more after (60)")
    parser.add_argument("--out", type=Path, default=ROOT / "reports" / "mutation")
    asked = parser.parse_args(words)
    warm_up()
    for folder in asked.folder:
        beside, further = FOLDERS[folder]
        mutants = sampled(folder, asked.each, asked.seed)
        near = tried(mutants, beside, asked.processes, asked.minutes)
        left = [mutant for mutant, result in near.items() if result == SURVIVED]
        far = tried(left, further, asked.processes, asked.minutes) if left else {}
        outcomes = [Outcome(folder, mutant, near[mutant], far.get(mutant)) for mutant in near]
        write(asked.out, outcomes, seed=asked.seed, each=asked.each)


if __name__ == "__main__":
    main()
