"""The screens in a headless browser, where the extra and a browser are there."""

from __future__ import annotations

import asyncio
import os
import shutil
import socket
import subprocess
import sys
import time
from collections.abc import Iterator
from contextlib import contextmanager
from importlib.util import find_spec
from pathlib import Path

import pytest

from tests.tui.clubs import a_club
from tracker.errors import UsageError
from tracker.tui import run as browser

ROOT = Path(__file__).resolve().parents[2]
CHROMIUM = shutil.which("chromium") or shutil.which("chromium-browser")


def free_port() -> int:
    with socket.socket() as one:
        one.bind(("127.0.0.1", 0))
        return int(one.getsockname()[1])


def test_without_the_extra_it_says_what_to_install(monkeypatch) -> None:
    monkeypatch.setattr(browser, "find_spec", lambda _: None)
    with pytest.raises(UsageError, match=r"slackwater\[browser\]"):
        browser.serve([], 8765)


@contextmanager
def served(tmp_path: Path) -> Iterator[int]:
    """Serve the screens of a small club; give the port once somebody listens there."""
    port = free_port()
    words = [
        sys.executable,
        "-m",
        "tracker",
        "serve",
        "--db",
        str(a_club(tmp_path).file),
        "--port",
        str(port),
    ]
    home = {**os.environ, "HOME": str(tmp_path)}
    with subprocess.Popen(words, cwd=ROOT, env=home, stderr=subprocess.DEVNULL) as server:
        try:
            for _ in range(200):
                with socket.socket() as one:
                    if one.connect_ex(("127.0.0.1", port)) == 0:
                        break
                time.sleep(0.1)
            yield port
        finally:
            server.terminate()
            server.wait(10)


needs_extra = pytest.mark.skipif(find_spec("textual_serve") is None, reason="the extra is not installed")


@needs_extra
def test_the_roster_comes_over_the_socket_that_the_page_opens(tmp_path) -> None:
    import aiohttp

    async def first_name(port: int) -> bool:
        address = f"http://127.0.0.1:{port}/ws?width=100&height=30"
        seen = b""
        async with aiohttp.ClientSession() as session, session.ws_connect(address) as socket_:
            while b"Ada Fjord" not in seen:
                message = await asyncio.wait_for(socket_.receive(), 30)
                if message.type is aiohttp.WSMsgType.BINARY:
                    seen += message.data
                elif message.type is not aiohttp.WSMsgType.TEXT:
                    return False
        return True

    with served(tmp_path) as port:
        assert asyncio.run(first_name(port))


@needs_extra
@pytest.mark.skipif(CHROMIUM is None, reason="there is no browser")
def test_a_browser_on_this_machine_opens_the_page(tmp_path) -> None:
    flags = ["--headless", "--no-sandbox", "--disable-gpu", "--disable-background-networking"]
    profile = f"--user-data-dir={tmp_path / 'profile'}"
    with served(tmp_path) as port:
        words = [str(CHROMIUM), *flags, profile, "--virtual-time-budget=4000", "--dump-dom"]
        shown = subprocess.run(
            [*words, f"http://127.0.0.1:{port}"], capture_output=True, text=True, timeout=60, check=False
        )
    assert "slackwater" in shown.stdout
    assert "textual-terminal" in shown.stdout
