"""Work given out comes back in order and whole, whoever does it and whoever dies."""

from __future__ import annotations

import multiprocessing
import os
import signal
import subprocess
import sys
import time
from collections.abc import Callable
from functools import partial
from multiprocessing.context import SpawnProcess
from pathlib import Path

import pytest

from tracker.app import executor
from tracker.app.executor import IN_PROCESS, Executor
from tracker.app.workers import LostError
from tracker.errors import UsageError


def nobody_is_left() -> bool:
    """Wait a little: the pool's own thread may still be reaping who has ended."""
    for _ in range(200):
        if not multiprocessing.active_children():
            return True
        time.sleep(0.1)
    return False


def squared(number: int) -> int:
    time.sleep(0.01 * (number % 3))
    return number * number


def die_once(number: int, *, marks: Path) -> int:
    """Kill the worker the first time that some number comes along, as a full memory would."""
    mark = marks / str(number)
    if number == 2 and not mark.exists():
        mark.touch()
        os.kill(os.getpid(), signal.SIGKILL)
    return number


def die_in_workers(number: int, *, parent: int) -> int:
    if os.getpid() != parent:
        os.kill(os.getpid(), signal.SIGKILL)
    return number


def test_parts_come_back_in_order_and_are_read_only_as_needed() -> None:
    given = []

    def parts():
        for number in range(30):
            given.append(number)
            yield number

    coming = Executor(workers=2).each(squared, parts())
    assert next(coming) == 0
    assert len(given) < 10
    assert list(coming) == [number * number for number in range(1, 30)]
    assert list(IN_PROCESS.each(squared, range(3))) == [0, 1, 4]


def test_a_killed_worker_loses_nothing(tmp_path: Path) -> None:
    done = list(Executor(workers=2).each(partial(die_once, marks=tmp_path), range(5)))
    assert done == list(range(5))
    assert {file.name for file in tmp_path.iterdir()} == {"2"}


def test_where_workers_keep_dying_the_work_is_done_here(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(executor, "_TRIES", 1)
    assert list(Executor(workers=2).each(partial(die_in_workers, parent=os.getpid()), range(2))) == [0, 1]


class Losing:
    """Workers that lose the first parts they take, as many as asked for; what they work out is marked."""

    capacity = 2

    def __init__(self, losses: int) -> None:
        self.losses = losses
        self.submitted = 0

    def submit(self, task: Callable[[int], int], part: int) -> int:
        self.submitted += 1
        return 100 + task(part)

    def result(self, future: int) -> int:
        if self.losses:
            self.losses -= 1
            raise LostError
        return future

    def close(self) -> None: ...


@pytest.mark.parametrize("losses", [0, 1, 3])
def test_a_part_that_is_lost_is_given_out_three_times_more(
    monkeypatch: pytest.MonkeyPatch, losses: int
) -> None:
    """One worker that dies loses no time of this process: the workers do what was lost."""
    workers = Losing(losses)
    monkeypatch.setattr(executor, "_start", lambda _: workers)
    assert list(Executor(workers=2).each(same, range(3))) == [100, 101, 102]
    assert workers.submitted == 3 + 2 * losses


def test_a_part_that_is_lost_a_fourth_time_is_done_here(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(executor, "_start", lambda _: Losing(4))
    assert list(Executor(workers=2).each(same, range(3))) == [0, 101, 102]


def same(number: int) -> int:
    return number


def test_shared_workers_keeps_its_workers_and_lets_them_go_at_the_end() -> None:
    with Executor(workers=1).sharing_workers() as alone:
        assert list(alone.each(who, [0])) == [os.getpid()]
    with Executor(workers=2).sharing_workers() as executor, executor.sharing_workers() as same:
        first = set(executor.each(who, range(8)))
        assert first >= set(same.each(who, range(8))) or len(first) == 1
        assert os.getpid() not in first
        assert list(executor.each(squared, range(4))) == [0, 1, 4, 9]
        workers = first | set(executor.each(who, range(8)))
        assert len(workers) <= 2
    assert not any(Path(f"/proc/{worker}").exists() for worker in workers)


def test_shared_workers_goes_on_after_a_death(tmp_path: Path) -> None:
    with Executor(workers=2).sharing_workers() as executor:
        assert list(executor.each(partial(die_once, marks=tmp_path), range(5))) == list(range(5))
        assert list(executor.each(squared, range(4))) == [0, 1, 4, 9]


def test_workers_that_are_called_start_before_there_is_work() -> None:
    with Executor(workers=2).sharing_workers() as executor:
        assert executor.for_parts(1) is IN_PROCESS
        executor.start_workers()
        assert executor.for_parts(1) is executor
        started = {process.pid for process in multiprocessing.active_children()}
        assert len(started) == 2
        assert set(executor.each(who, range(8))) <= started
    IN_PROCESS.start_workers()
    Executor(workers=2).start_workers()
    assert nobody_is_left()


def test_a_death_while_another_worker_starts_leaves_nobody_behind(monkeypatch: pytest.MonkeyPatch) -> None:
    """The pool would wait for the second for ever: it was not there yet when the pool let everybody go."""
    begun: list[SpawnProcess] = []
    start = SpawnProcess.start

    def slow(process: SpawnProcess) -> None:
        begun.append(process)
        if len(begun) == 2:
            begun[0].kill()
            time.sleep(1.0)
        start(process)

    monkeypatch.setattr(SpawnProcess, "start", slow)
    with Executor(workers=2).sharing_workers() as executor:
        executor.start_workers()
        assert list(executor.each(squared, range(8))) == [number * number for number in range(8)]
    assert nobody_is_left()


def test_where_no_worker_lives_to_start_the_work_is_done_here(monkeypatch: pytest.MonkeyPatch) -> None:
    start = SpawnProcess.start

    def stillborn(process: SpawnProcess) -> None:
        start(process)
        process.kill()

    monkeypatch.setattr(SpawnProcess, "start", stillborn)
    assert list(Executor(workers=2).each(who, range(3))) == [os.getpid()] * 3
    assert nobody_is_left()


@pytest.mark.thorough
def test_few_workers_start_before_there_is_work_for_more() -> None:
    with Executor(workers=24).sharing_workers() as executor:
        executor.start_workers()
        assert len(multiprocessing.active_children()) == 4
    assert nobody_is_left()


def test_one_executor_leaves_the_workers_of_another_alone() -> None:
    first, second = Executor(workers=2).each(who, range(8)), Executor(workers=2).each(who, range(30))
    mine, theirs = {next(first)}, {next(second)}
    mine |= set(first)
    theirs |= set(second)
    assert len(theirs) <= 2
    assert not mine & theirs
    assert nobody_is_left()


def test_somebody_who_interrupts_again_is_not_kept_waiting(monkeypatch: pytest.MonkeyPatch) -> None:
    def interrupted(_process: SpawnProcess, _timeout: float) -> None:
        monkeypatch.undo()
        raise KeyboardInterrupt

    coming = Executor(workers=2).each(time.sleep, [0.0, 60.0, 60.0, 60.0])
    next(coming)
    monkeypatch.setattr(SpawnProcess, "join", interrupted)
    with pytest.raises(KeyboardInterrupt):
        coming.close()  # type: ignore[attr-defined]
    assert nobody_is_left()


def test_an_interrupt_never_reaches_a_worker_even_as_it_starts() -> None:
    with Executor(workers=2).sharing_workers() as executor:
        executor.start_workers()
        for worker in multiprocessing.active_children():
            os.kill(worker.pid or 0, signal.SIGINT)
        assert list(executor.each(squared, range(3))) == [0, 1, 4]
        assert signal.SIGINT not in signal.pthread_sigmask(signal.SIG_BLOCK, [])


def test_what_must_be_the_same_to_the_last_bit_stays_here() -> None:
    assert Executor(workers=2).local == Executor(workers=2)
    assert Executor(cluster="tls://far.example:8786").local is IN_PROCESS


def test_an_error_of_the_work_itself_is_raised() -> None:
    with pytest.raises(ZeroDivisionError):
        list(Executor(workers=2).each(partial(divmod, 1), [1, 0, 1]))


@pytest.mark.parametrize(
    ("address", "words"),
    [
        ("tcp://far.example:8786", "does not encrypt"),
        ("far:8786", "is no cluster"),
        ("http://x:1", "is no cluster"),
    ],
)
def test_data_never_travels_in_the_clear(address: str, words: str) -> None:
    with pytest.raises(UsageError, match=words):
        list(Executor(cluster=address).each(squared, [1]))


@pytest.mark.thorough
@pytest.mark.parametrize("number", ["return -1", "raise OSError"])
def test_workers_start_where_stderr_is_no_file(number: str) -> None:
    """As under the screens, whose library puts something of its own in the place of stderr."""
    code = (
        "import io, sys; from tracker.app.executor import Executor\n"
        "class Kept(io.StringIO):\n"
        f"    def fileno(self): {number}\n"
        "if __name__ == '__main__':\n"
        "    from tests.app.test_executor import squared\n"
        "    sys.stderr = kept = Kept()\n"
        "    print(*Executor(workers=2).each(squared, range(4)), sys.stderr is kept)\n"
    )
    root = Path(__file__).parents[2]
    done = subprocess.run([sys.executable, "-c", code], check=True, capture_output=True, text=True, cwd=root)
    assert (done.stdout.strip(), done.stderr) == ("0 1 4 9 True", "")


def test_workers_do_not_outlive_a_killed_parent() -> None:
    code = (
        "import os, time, sys; from tracker.app.executor import Executor\n"
        "if __name__ == '__main__':\n"
        "    from tests.app.test_executor import who\n"
        "    print(next(Executor(workers=2).each(who, range(99))), flush=True); time.sleep(60)\n"
    )
    process = subprocess.Popen(
        [sys.executable, "-c", code], stdout=subprocess.PIPE, text=True, cwd=Path(__file__).parents[2]
    )
    with process:
        worker = int(process.stdout.readline())
        process.kill()
    for _ in range(100):
        if not Path(f"/proc/{worker}").exists():
            return
        time.sleep(0.1)
    pytest.fail("the worker is still there")


def who(_number: int) -> int:
    return os.getpid()
