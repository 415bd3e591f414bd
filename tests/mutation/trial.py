"""One mutant tried: a fork of this process runs tests until one of them fails."""

from __future__ import annotations

import importlib.abc
import importlib.machinery
import importlib.util
import os
import resource
import signal
import sys
from collections.abc import Sequence
from pathlib import Path
from types import CodeType, ModuleType
from typing import Any

from tests.mutation.operators import Mutant

ROOT = Path(__file__).resolve().parents[2]
HANGS_S = 900
"""By the clock on the wall: for what waits without working. Work has a limit of its own."""
OPTIONS = (
    "-o",
    "addopts=--strict-markers --strict-config --import-mode=importlib",
    "-m",
    "not slow",
    "-W",
    "ignore::pytest.PytestAssertRewriteWarning",
)
"""The suite's own options without its processes, and without the remark that pytest is warm already."""


class _Changed(importlib.abc.MetaPathFinder, importlib.abc.InspectLoader):
    """Gives one module from memory with the change in it; the file is never touched."""

    def __init__(self, name: str, path: Path, code: CodeType) -> None:
        self.name, self.path, self.code = name, path, code

    def find_spec(self, fullname: str, *_: Any) -> importlib.machinery.ModuleSpec | None:
        if fullname != self.name:
            return None
        return importlib.util.spec_from_file_location(fullname, self.path, loader=self)

    def get_code(self, fullname: str) -> CodeType:  # noqa: ARG002 - the loader's own signature
        return self.code

    def get_source(self, fullname: str) -> str:  # noqa: ARG002
        return self.path.read_text(encoding="utf-8")

    def exec_module(self, module: ModuleType) -> None:
        exec(self.code, module.__dict__)  # noqa: S102 - the project's own source


def warm_up() -> None:
    """Load once what every fork needs, nothing of the tool itself; one thread each, or a fork may hang."""
    for name in ("OMP_NUM_THREADS", "OPENBLAS_NUM_THREADS", "MKL_NUM_THREADS"):
        os.environ[name] = "1"
    for name in ("pytest", "hypothesis", "scipy.stats", "pandas", "statsmodels.api", "sqlmodel"):
        importlib.import_module(name)


def begin(mutant: Mutant | None, tests: Sequence[str], cpu_s: float) -> int:
    """Start the trial in a fork; return its process number. None tries the code as it is."""
    sys.stdout.flush()
    if process := os.fork():
        return process
    code = 99
    try:
        quiet = os.open(os.devnull, os.O_RDWR)
        for number in (0, 1, 2):
            os.dup2(quiet, number)
        os.chdir(ROOT)
        resource.setrlimit(resource.RLIMIT_CPU, (int(cpu_s) + 1, int(cpu_s) + 30))
        signal.alarm(HANGS_S)
        if mutant is not None:
            _plant(mutant)
        code = _run(tests)
    finally:
        os._exit(code)


def _plant(mutant: Mutant) -> None:
    path = ROOT / mutant.file
    code = compile(mutant.applied(path.read_bytes()), str(path), "exec")
    name = mutant.file.removesuffix(".py").replace("/", ".")
    sys.meta_path.insert(0, _Changed(name, path, code))


def _run(tests: Sequence[str]) -> int:
    import pytest
    from hypothesis import Phase, settings

    phases = [Phase.explicit, Phase.generate]  # a failure is enough: nobody reads the smallest one
    settings.register_profile("mutation", derandomize=True, database=None, phases=phases)
    settings.load_profile("mutation")
    return int(pytest.main(["-x", "-q", "-p", "no:xdist", *OPTIONS, *tests]))


def result_of(status: int) -> str:
    """Return "survived", "killed", or "out of time"; raise if the tests themselves could not be run."""
    code = os.waitstatus_to_exitcode(status)
    if code == 0:
        return "survived"
    if code in {-signal.SIGXCPU, -signal.SIGALRM, -signal.SIGKILL}:
        return "out of time"
    if code in {1, 2} or code < 0:  # a test failed, the tests could not be collected, it crashed
        return "killed"
    raise RuntimeError(f"pytest ended with {code}; run the tests beside by hand")


def beside_first(file: str, tests: Sequence[str]) -> list[str]:
    """Return the test files of some folders, those that name the changed module before the others."""
    name = file.removesuffix(".py").replace("/", ".")
    found: list[Path] = []
    for place in tests:
        path = ROOT / place
        found += sorted(path.rglob("test_*.py")) if path.is_dir() else [path]
    found.sort(key=lambda one: (name not in one.read_text(encoding="utf-8"), one.stat().st_size))
    return [str(one.relative_to(ROOT)) for one in found]
