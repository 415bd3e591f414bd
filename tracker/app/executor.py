"""Run the work of a big roster: in this process, on all cores, or on a cluster.

Parts are given out and come back in order, so that the answer is the same byte for byte, wherever they
ran. Workers get plain values, never a database. One that dies loses nothing: its parts are given out
again, and done here if that keeps failing.
"""

from __future__ import annotations

import os
import sys
import threading
from collections import deque
from collections.abc import Callable, Iterable, Iterator
from contextlib import ExitStack, contextmanager
from dataclasses import dataclass, field, replace
from pathlib import Path
from typing import TYPE_CHECKING, Any, Final, TypeVar

from tracker.app.workers import PREFETCH, LostError, Workers
from tracker.plugin_registry import load_plugin

if TYPE_CHECKING:
    from concurrent.futures import Future
    from multiprocessing.process import BaseProcess

A = TypeVar("A")
B = TypeVar("B")

_TRIES: Final = 3
_EAGER: Final = 4
"""Workers started before there is work: as many as learning and weighing have parts for."""
_STOP_TIMEOUT_S: Final = 60
"""For the part in work to end; a worker that takes longer is stuck."""
_THREADS: Final = ("OMP_NUM_THREADS", "OPENBLAS_NUM_THREADS", "MKL_NUM_THREADS")


Progress = Callable[[int, int], None]
"""Called with the number of swimmers done, and of all."""


@dataclass(frozen=True)
class Executor:
    """`workers` processes of this machine (1: this process alone), or the cluster at an address."""

    workers: int = 1
    cluster: str | None = None
    _shared: _SharedWorkers | None = field(default=None, repr=False, compare=False)

    def each(self, task: Callable[[A], B], parts: Iterable[A]) -> Iterator[B]:
        """Yield what `task` makes of each part, in their order; parts are read only as far as needed.

        Raises
        ------
        UsageError
            If the cluster's address is none, or would send people's data in the clear.
        SlackwaterError
            If the cluster cannot be reached.
        """
        if self.cluster is None and self.workers == 1:
            return map(task, parts)
        if self._shared is not None:
            return _ordered(self._shared.workers(self), task, parts)
        workers = _start(self)
        return _ordered(workers, task, parts, then=workers.close)

    @contextmanager
    def sharing_workers(self) -> Iterator[Executor]:
        """Yield an executor whose workers, once started, serve every `each` until the end."""
        if self._shared is not None:
            yield self
            return
        with ExitStack() as stack:
            yield replace(self, _shared=_SharedWorkers(stack))

    def start_workers(self) -> None:
        """Start shared workers before there is work for them."""
        if self._shared is not None and (self.cluster is not None or self.workers > 1):
            self._shared.workers(self)

    @property
    def local(self) -> Executor:
        """The processes of this machine, or this process alone where the executor is a cluster.

        For what must come out the same to the last bit, whoever reads it later.
        """
        return self if self.cluster is None else IN_PROCESS

    def for_parts(self, number: int, *, worth: int = 8) -> Executor:
        """Return this executor, or this process alone where there are too few parts to start workers.

        Workers that are there already need none. A cluster is used whenever it is named: whoever names one
        learns whether it is there.
        """
        there = self._shared is not None and self._shared.started
        return self if self.cluster is not None or there or number >= worth else IN_PROCESS


class _SharedWorkers:
    """Workers that several calls share: started when first needed, closed with the stack."""

    def __init__(self, stack: ExitStack) -> None:
        self._stack = stack
        self._workers: Workers | None = None

    @property
    def started(self) -> bool:
        return self._workers is not None

    def workers(self, executor: Executor) -> Workers:
        if self._workers is None:
            self._workers = _start(executor)
            self._stack.callback(self._workers.close)
        return self._workers


IN_PROCESS: Final = Executor()


def _start(executor: Executor) -> Workers:
    if executor.cluster is None:
        return _Processes(executor.workers)
    cluster: Workers = load_plugin("cluster").Cluster(executor.cluster)
    return cluster


def all_cores() -> Executor:
    """Return an executor with one process a core."""
    return Executor(os.cpu_count() or 1)


def _ordered(
    workers: Workers, task: Callable[[A], B], parts: Iterable[A], then: Callable[[], None] | None = None
) -> Iterator[B]:
    """Yield what is done, in order; call `then` at the end, however it comes."""
    remaining = iter(parts)
    pending: deque[tuple[A, Any]] = deque()
    lost = 0
    with ExitStack() as stack:
        if then is not None:
            stack.callback(then)
        while True:
            while len(pending) < workers.capacity and (part := next(remaining, None)) is not None:
                pending.append((part, workers.submit(task, part)))
            if not pending:
                return
            part, future = pending[0]
            try:
                done = workers.result(future)
            except LostError:
                lost += 1
                if lost <= _TRIES:
                    pending = deque((again, workers.submit(task, again)) for again, _ in pending)
                    continue
                done = task(part)
            pending.popleft()
            yield done


class _Processes:
    """Processes of this machine, started afresh when one of them dies."""

    def __init__(self, workers: int) -> None:
        self._workers = workers
        self.capacity = workers * (1 + PREFETCH)
        self._start_pool()

    def _start_pool(self) -> None:
        from concurrent.futures import ProcessPoolExecutor
        from multiprocessing import get_context

        for name in _THREADS:  # each has a core to itself and no more; read when a worker starts
            os.environ.setdefault(name, "1")
        self._children: list[BaseProcess] = []
        with _a_real_stderr():
            self._pool = ProcessPoolExecutor(
                self._workers, mp_context=get_context("spawn"), initializer=_init_worker
            )
        for _ in range(min(self._workers, _EAGER)):  # these start now, the others as work comes
            self._try_submit(_do_nothing)

    def _try_submit(self, task: Callable[..., B], *part: Any) -> Future[B] | None:  # noqa: ANN401
        """Return what will come of a task; None if the pool is broken. The task's own errors come with it."""
        from multiprocessing import active_children

        before = active_children()
        try:
            with _interrupts_blocked(), _a_real_stderr():
                return self._pool.submit(task, *part)
        except (RuntimeError, OSError, ValueError):
            return None
        finally:
            self._children += [one for one in active_children() if one not in before]

    def submit(self, task: Callable[[A], B], part: A) -> Any:  # noqa: ANN401
        from concurrent.futures import CancelledError, Future

        for _ in range(2):
            if (remaining := self._try_submit(task, part)) is not None:
                return remaining
            # one that was starting while another died would be waited for and never end
            self._pool.shutdown(wait=False, cancel_futures=True)
            self._kill()
            self._start_pool()
        lost: Future[Any] = Future()
        lost.set_exception(CancelledError())
        return lost

    def result(self, future: Any) -> Any:  # noqa: ANN401
        from concurrent.futures import CancelledError
        from concurrent.futures.process import BrokenProcessPool

        try:
            return future.result()
        except (BrokenProcessPool, CancelledError):
            raise LostError from None

    def close(self) -> None:
        self._pool.shutdown(wait=False, cancel_futures=True)
        try:
            for one in self._children:
                one.join(_STOP_TIMEOUT_S)
        finally:  # also where somebody does not wait and interrupts again
            self._kill()

    def _kill(self) -> None:
        for one in self._children:
            one.kill()
        for one in self._children:
            one.join(_STOP_TIMEOUT_S)


@contextmanager
def _interrupts_blocked() -> Iterator[None]:
    """Hold Ctrl-C back: who starts meanwhile inherits that, and leaves it to the parent for good."""
    import signal

    if not hasattr(signal, "pthread_sigmask"):
        yield
        return
    before = signal.pthread_sigmask(signal.SIG_BLOCK, {signal.SIGINT})
    try:
        yield
    finally:
        signal.pthread_sigmask(signal.SIG_SETMASK, before)


@contextmanager
def _a_real_stderr() -> Iterator[None]:
    """Have a stderr that is a file while processes start.

    The helper that clears up after them is started with its number; what the screens put in the place of
    stderr gives -1 for one, with which nothing can be started.
    """
    before = sys.stderr
    try:
        number = before.fileno()
    except (AttributeError, OSError, ValueError):
        number = -1
    if number >= 0:
        yield
        return
    with Path(os.devnull).open("w", encoding="utf-8") as ours:
        sys.stderr = ours
        try:
            yield
        finally:
            if sys.stderr is ours:  # else the screens were left meanwhile and put the true one back
                sys.stderr = before


def _init_worker() -> None:
    """Import what a worker needs while its first part is still being read; leave Ctrl-C to the parent."""
    import signal

    signal.signal(signal.SIGINT, signal.SIG_IGN)
    threading.Thread(target=_end_with_parent, daemon=True).start()


def _do_nothing() -> None:
    """Do nothing: a process that is given work starts."""


def _end_with_parent() -> None:
    """Leave when the parent is gone, killed perhaps; waiting for work would never end."""
    from multiprocessing import parent_process
    from multiprocessing.connection import wait

    parent = parent_process()
    if parent is not None:
        wait([parent.sentinel])
        os._exit(1)
