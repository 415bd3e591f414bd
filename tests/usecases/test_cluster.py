"""The same scan on a Dask cluster, here on this machine's loopback; a killed worker loses nothing."""

from __future__ import annotations

import json
import os
import signal
import subprocess
import sys
import time
from collections.abc import Iterator
from contextlib import closing
from pathlib import Path
from socket import create_server

import pytest

from tests.tui.clubs import TODAY, a_club
from tracker.errors import SlackwaterError
from tracker.output.as_json import scan_json
from tracker.settings import DEFAULT
from tracker.usecases import scan_in_parts as scanning
from tracker.usecases.crew import Crew
from tracker.usecases.scan import scan

pytestmark = [pytest.mark.slow, pytest.mark.filterwarnings("ignore")]


@pytest.fixture
def cluster(tmp_path: Path) -> Iterator[tuple[str, list[subprocess.Popen[bytes]]]]:
    """A scheduler and two workers in processes of their own."""
    pytest.importorskip("distributed")
    with closing(create_server(("127.0.0.1", 0))) as free:
        port = free.getsockname()[1]
    address = f"tcp://127.0.0.1:{port}"
    dask = [sys.executable, "-m", "dask"]
    started = [
        subprocess.Popen(
            [*dask, "scheduler", "--host", "127.0.0.1", "--port", str(port), "--no-dashboard"], cwd=tmp_path
        )
    ]
    started += [
        subprocess.Popen(
            [*dask, "worker", address, "--nthreads", "1", "--no-nanny", "--no-dashboard"], cwd=tmp_path
        )
        for _ in range(2)
    ]
    wait_for_workers(address, 2)
    yield address, started
    for process in started:
        process.terminate()
        process.wait(20)


def wait_for_workers(address: str, number: int) -> None:
    from distributed import Client

    end = time.monotonic() + 60
    while time.monotonic() < end:
        try:
            with Client(address, timeout="5s", set_as_default=False) as client:
                client.wait_for_workers(number, timeout=30)
                return
        except OSError:
            time.sleep(0.5)
    pytest.fail("the cluster did not start")


def test_the_cluster_says_the_same_and_a_killed_worker_loses_nothing(
    cluster, tmp_path: Path, monkeypatch
) -> None:
    address, started = cluster
    monkeypatch.setattr(scanning, "PART", 1)
    store = a_club(tmp_path)
    plain = json.dumps(scan_json(scan(store, as_of=TODAY, settings=DEFAULT), TODAY))

    def kill(done: int, _of: int) -> None:
        if done == 1:
            os.kill(started[1].pid, signal.SIGKILL)

    for progress in (None, kill):
        lines = scan(store, as_of=TODAY, settings=DEFAULT, crew=Crew(cluster=address), progress=progress)
        assert json.dumps(scan_json(lines, TODAY)) == plain


def test_a_cluster_out_of_reach_is_one_line() -> None:
    pytest.importorskip("distributed")
    with pytest.raises(SlackwaterError, match="cannot reach the cluster"):
        list(Crew(cluster="tcp://127.0.0.1:1").each(abs, [1]))
