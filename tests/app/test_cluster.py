"""The same scan on a Dask cluster, here on this machine's loopback, encrypted or not; a killed worker loses
nothing, and whatever is wrong with certificates is one line."""

from __future__ import annotations

import json
import os
import signal
import subprocess
import sys
import time
from collections.abc import Callable, Iterator
from contextlib import closing, contextmanager
from dataclasses import dataclass, field
from pathlib import Path
from shutil import which
from socket import create_server
from typing import Any

import pytest

from tests.builders import a_session
from tests.tui.clubs import TODAY, a_club
from tracker.app import cluster as clusters
from tracker.app import scan as scanning
from tracker.app.executor import Executor
from tracker.app.scan import scan
from tracker.errors import SlackwaterError, UsageError
from tracker.output.as_json import scan_json

pytestmark = pytest.mark.filterwarnings("ignore")

SETTING = "DASK_DISTRIBUTED__COMM__TLS__"


@dataclass
class Papers:
    """A throw-away authority of a cluster, a certificate it signed, and a stranger's pair of both."""

    folder: Path
    made: set[str] = field(default_factory=set)

    def authority(self, name: str) -> str:
        if name not in self.made:
            self._openssl("req", "-x509", *self._new(name), "-out", f"{name}.pem")
            self.made.add(name)
        return str(self.folder / f"{name}.pem")

    def signed(self, name: str, by: str) -> tuple[str, str]:
        """Return the files of a certificate and of its key."""
        self.authority(by)
        if name not in self.made:
            self._openssl("req", *self._new(name), "-out", f"{name}.csr")
            signer = ("-CA", f"{by}.pem", "-CAkey", f"{by}.key", "-CAcreateserial")
            self._openssl("x509", "-req", "-in", f"{name}.csr", *signer, "-days", "2", "-out", f"{name}.pem")
            self.made.add(name)
        return str(self.folder / f"{name}.pem"), str(self.folder / f"{name}.key")

    @staticmethod
    def _new(name: str) -> list[str]:
        key = [
            "-newkey",
            "ec",
            "-pkeyopt",
            "ec_paramgen_curve:prime256v1",
            "-nodes",
            "-keyout",
            f"{name}.key",
        ]
        return [*key, "-days", "2", "-subj", f"/CN={name}"]

    def _openssl(self, *words: str) -> None:
        subprocess.run(["openssl", *words], cwd=self.folder, check=True, capture_output=True)


@pytest.fixture
def papers(tmp_path: Path) -> Papers:
    pytest.importorskip("distributed")
    if which("openssl") is None:
        pytest.skip("no openssl to make certificates with")
    return Papers(tmp_path)


@contextmanager
def named(**files: str | None) -> Iterator[None]:
    """Name certificates as Dask's configuration does."""
    import dask

    with dask.config.set(
        {f"distributed.comm.tls.{name.replace('__', '.')}": of for name, of in files.items()}
    ):
        yield


def free_port() -> int:
    with closing(create_server(("127.0.0.1", 0))) as free:
        return int(free.getsockname()[1])


@contextmanager
def a_cluster(scheme: str, folder: Path, **environment: str) -> Iterator[tuple[str, list[Any]]]:
    """A scheduler and two workers in processes of their own; give its address, and them."""
    port = free_port()
    address = f"{scheme}://127.0.0.1:{port}"
    dask = [sys.executable, "-m", "dask"]
    at = ["--protocol", scheme, "--host", "127.0.0.1", "--port", str(port)]
    commands = [[*dask, "scheduler", *at, "--no-dashboard"]]
    commands += [[*dask, "worker", address, "--nthreads", "1", "--no-nanny", "--no-dashboard"]] * 2
    environ = {**os.environ, **environment}
    started = [subprocess.Popen(words, cwd=folder, env=environ) for words in commands]
    try:
        wait_for_workers(address, 2)
        yield address, started
    finally:
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


def the_same_scan(tmp_path: Path, monkeypatch) -> Callable[..., None]:
    """Return what holds the cluster's scan against this process's own, a swimmer a part."""
    monkeypatch.setattr(scanning, "PART", 1)
    store = a_club(tmp_path)
    plain = json.dumps(scan_json(scan(a_session(store, today=TODAY)), TODAY))

    def check(address: str, victim: Any) -> None:
        def kill(done: int, _of: int) -> None:
            if done == 1:
                os.kill(victim.pid, signal.SIGKILL)

        for progress in (None, kill):
            lines = scan(a_session(store, today=TODAY), executor=Executor(cluster=address), progress=progress)
            assert json.dumps(scan_json(lines, TODAY)) == plain

    return check


def reached(address: str) -> None:
    list(Executor(cluster=address).each(abs, [1]))


@pytest.mark.slow
def test_the_cluster_says_the_same_and_a_killed_worker_loses_nothing(tmp_path: Path, monkeypatch) -> None:
    pytest.importorskip("distributed")
    check = the_same_scan(tmp_path, monkeypatch)
    with a_cluster("tcp", tmp_path) as (address, started):
        check(address, started[1])


@pytest.mark.slow
def test_an_encrypted_cluster_says_the_same_and_takes_only_its_own(
    papers: Papers, tmp_path: Path, monkeypatch
) -> None:
    check = the_same_scan(tmp_path, monkeypatch)
    authority, (cert, key) = papers.authority("club"), papers.signed("worker", "club")
    named_for = {f"{SETTING}CA_FILE": authority}
    for role in ("SCHEDULER", "WORKER"):
        named_for |= {f"{SETTING}{role}__CERT": cert, f"{SETTING}{role}__KEY": key}
    own = dict(zip(("client__cert", "client__key"), papers.signed("coach", "club"), strict=True))
    other = dict(zip(("client__cert", "client__key"), papers.signed("stranger", "elsewhere"), strict=True))
    with named(ca_file=authority, **own), a_cluster("tls", tmp_path, **named_for) as (address, started):
        check(address, started[1])
        with (
            named(ca_file=papers.authority("elsewhere")),
            pytest.raises(SlackwaterError, match=f"not trusted: self-signed.*is {SETTING}CA_FILE"),
        ):
            reached(address)
        with named(**other), pytest.raises(SlackwaterError, match=f"does not take .*{SETTING}CLIENT__CERT"):
            reached(address)
        with pytest.raises(SlackwaterError, match=r"does not answer as a scheduler.*tls://"):
            reached(address.replace("tls", "tcp"))
        started[2].kill()
        monkeypatch.setattr(clusters, "_PATIENCE_S", 0.5)
        with pytest.raises(SlackwaterError, match=r"no workers; start some|all its workers; nothing is lost"):
            reached(address)


@pytest.mark.parametrize(
    ("mended", "words"),
    [
        ({"client__cert": None}, f"needs certificates: name their files in {SETTING}CLIENT__CERT"),
        (
            {"ca_file": None, "client__cert": None},
            f"in {SETTING}CA_FILE and {SETTING}CLIENT__CERT, the key's",
        ),
        ({"ca_file": "nowhere.pem"}, f"cannot read nowhere.pem: No such file.*mend {SETTING}CA_FILE"),
        ({"client__cert": "nowhere.pem"}, f"cannot read nowhere.pem.*mend {SETTING}CLIENT__CERT"),
        ({"client__key": None}, r"cannot be used \(no key\)"),
        ({"client__key": "stranger.key"}, r"cannot be used \(key values mismatch\)"),
        ({"ca_file": "coach.key"}, r"cannot be used \(no certificate or crl found\)"),
    ],
)
def test_certificates_are_tried_before_anybody_is_asked(papers: Papers, monkeypatch, mended, words) -> None:
    cert, key = papers.signed("coach", "club")
    papers.signed("stranger", "elsewhere")
    monkeypatch.chdir(papers.folder)
    files = {"ca_file": papers.authority("club"), "client__cert": cert, "client__key": key, **mended}
    with named(**files), pytest.raises(UsageError, match=words):
        reached("tls://127.0.0.1:1")


def test_a_cluster_out_of_reach_is_one_line(papers: Papers) -> None:
    cert, key = papers.signed("coach", "club")
    with (
        named(ca_file=papers.authority("club"), client__cert=cert, client__key=key),
        pytest.raises(
            SlackwaterError, match=r"cannot reach the cluster.*Connection refused; is its scheduler on"
        ),
    ):
        reached(f"tls://127.0.0.1:{free_port()}")
