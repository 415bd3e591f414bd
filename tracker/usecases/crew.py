"""Who does the work of a big roster: this process, all cores, or the machines of a cluster.

Work goes out in parts and comes back in their order, so that the answer is the same byte for byte, whoever
did it. Workers get plain values, never a database. One that dies loses nothing: its parts are given out
again, and done here if that keeps failing.
"""

from __future__ import annotations

import os
import threading
from collections import deque
from collections.abc import Callable, Iterable, Iterator
from contextlib import ExitStack
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, Final, Protocol, TypeVar

from tracker.errors import SlackwaterError, UsageError

if TYPE_CHECKING:
    from concurrent.futures import ProcessPoolExecutor

A = TypeVar("A")
B = TypeVar("B")

_AHEAD: Final = 2
"""Parts given out beyond those in work, for each worker: none waits, and memory stays flat."""
_TRIES: Final = 3
_THREADS: Final = ("OMP_NUM_THREADS", "OPENBLAS_NUM_THREADS", "MKL_NUM_THREADS")


@dataclass(frozen=True)
class Crew:
    """`workers` processes of this machine (1: this process alone), or the cluster at an address."""

    workers: int = 1
    cluster: str | None = None

    def each(self, task: Callable[[A], B], parts: Iterable[A]) -> Iterator[B]:
        """Yield what `task` makes of each part, in their order; parts are read only as far as needed.

        Raises
        ------
        UsageError
            If the cluster's address is none, or would send people's data in the clear.
        SlackwaterError
            If the cluster cannot be reached.
        """
        if self.cluster is not None:
            return _ordered(_Cluster(self.cluster), task, parts)
        if self.workers > 1:
            return _ordered(_Processes(self.workers), task, parts)
        return map(task, parts)

    def for_parts(self, number: int, *, worth: int = 8) -> Crew:
        """Return the same crew, or this process alone where there are fewer parts than are worth a start."""
        return self if number >= worth else ALONE


ALONE: Final = Crew()


def all_cores() -> Crew:
    """Return a crew of one process a core."""
    return Crew(os.cpu_count() or 1)


class LostError(Exception):
    """A worker died with a part."""


class _Hands(Protocol):
    """What gives a part to a worker, and waits for what comes back."""

    @property
    def room(self) -> int:
        """How many parts to give out at once."""

    def give(self, task: Callable[[A], B], part: A) -> Any:  # noqa: ANN401 - a future of either kind
        """Give out a part."""

    def take(self, future: Any) -> Any:  # noqa: ANN401
        """Wait for it; raises `LostError` if its worker died."""

    def close(self) -> None:
        """Let the workers go."""


def _ordered(hands: _Hands, task: Callable[[A], B], parts: Iterable[A]) -> Iterator[B]:
    coming = iter(parts)
    out: deque[tuple[A, Any]] = deque()
    lost = 0
    with ExitStack() as stack:
        stack.callback(hands.close)
        while True:
            while len(out) < hands.room and (more := next(coming, None)) is not None:
                out.append((more, hands.give(task, more)))
            if not out:
                return
            part, future = out[0]
            try:
                done = hands.take(future)
            except LostError:
                lost += 1
                if lost <= _TRIES:
                    out = deque((again, hands.give(task, again)) for again, _ in out)
                    continue
                done = task(part)
            out.popleft()
            yield done


class _Processes:
    """Processes of this machine, started afresh when one of them dies."""

    def __init__(self, workers: int) -> None:
        self._workers = workers
        self.room = workers * (1 + _AHEAD)
        self._pool = self._begun()

    def _begun(self) -> ProcessPoolExecutor:
        from concurrent.futures import ProcessPoolExecutor
        from multiprocessing import get_context

        for name in _THREADS:  # each has a core to itself and no more; read when a worker starts
            os.environ.setdefault(name, "1")
        return ProcessPoolExecutor(self._workers, mp_context=get_context("spawn"), initializer=_warm)

    def give(self, task: Callable[[A], B], part: A) -> Any:  # noqa: ANN401
        from concurrent.futures.process import BrokenProcessPool

        try:
            return self._pool.submit(task, part)
        except BrokenProcessPool:
            self._pool.shutdown(wait=False, cancel_futures=True)
            self._pool = self._begun()
            return self._pool.submit(task, part)

    def take(self, future: Any) -> Any:  # noqa: ANN401
        from concurrent.futures import CancelledError
        from concurrent.futures.process import BrokenProcessPool

        try:
            return future.result()
        except (BrokenProcessPool, CancelledError):
            raise LostError from None

    def close(self) -> None:
        self._pool.shutdown(wait=True, cancel_futures=True)


def _warm() -> None:
    """Import what a worker needs while its first part is still being read; leave Ctrl-C to the parent."""
    import signal

    signal.signal(signal.SIGINT, signal.SIG_IGN)
    threading.Thread(target=_end_with_parent, daemon=True).start()
    import tracker.pipeline  # noqa: F401


def _end_with_parent() -> None:
    """Leave when the parent is gone, killed perhaps; waiting for work would never end."""
    from multiprocessing import parent_process
    from multiprocessing.connection import wait

    parent = parent_process()
    if parent is not None:
        wait([parent.sentinel])
        os._exit(1)


class _Cluster:
    """Workers of a Dask cluster, which need this program and nothing else."""

    def __init__(self, address: str) -> None:
        _check_address(address)
        try:
            import distributed
        except ModuleNotFoundError:
            raise UsageError("a cluster needs its library: pip install 'slackwater[cluster]'") from None
        try:
            library: Any = distributed
            self._client: Any = library.Client(address, timeout="10s", set_as_default=False)
        except (OSError, ValueError, TypeError):
            raise SlackwaterError(
                f"cannot reach the cluster at {address}; is its scheduler on, and are the certificates right?"
            ) from None
        try:
            self._check_versions()
            self.room = max(1, sum(self._client.nthreads().values())) * (1 + _AHEAD)
        except BaseException:
            self._client.close()
            raise

    def _check_versions(self) -> None:
        own = _version()
        try:
            others = set(self._client.run(_version).values())
        except Exception:  # noqa: BLE001 - whatever a worker's own Python says
            others = {"none"}
        if not others:
            raise SlackwaterError("the cluster has no workers; start some ('dask worker')")
        if others != {own}:
            raise SlackwaterError(
                f"the cluster's workers have slackwater {', '.join(sorted(others))}, not {own}"
            )

    def give(self, task: Callable[[A], B], part: A) -> Any:  # noqa: ANN401
        return self._client.submit(task, part, pure=False)

    def take(self, future: Any) -> Any:  # noqa: ANN401
        from distributed import CancelledError, KilledWorker

        try:
            return future.result()
        except (KilledWorker, CancelledError):
            raise LostError from None

    def close(self) -> None:
        self._client.close()


def _version() -> str:
    from importlib.metadata import version

    return version("slackwater")


def _check_address(address: str) -> None:
    """Refuse an address over which people's data would travel in the clear."""
    from urllib.parse import urlsplit

    found = urlsplit(address)
    if found.scheme not in {"tls", "tcp"} or not found.hostname:
        raise UsageError(f"{address!r} is no cluster; write it as tls://host:8786")
    if found.scheme == "tcp" and found.hostname not in {"localhost", "127.0.0.1", "::1"}:
        raise UsageError("tcp:// is for this machine only, it does not encrypt; write tls://host:8786")
