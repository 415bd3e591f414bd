"""The real program in a real pseudo-terminal: what it writes, and what it leaves behind."""

from __future__ import annotations

import fcntl
import os
import pty
import select
import signal
import struct
import subprocess
import sys
import termios
import time
from pathlib import Path

ROOT = Path(__file__).parents[2]


class Terminal:
    """A pseudo-terminal with a command in it, `slackwater open` unless another is named."""

    def __init__(
        self,
        database: Path,
        home: Path,
        *,
        program: tuple[str, ...] = ("-m", "tracker"),
        command: str = "open",
        size: tuple[int, int] = (80, 24),
        folder: Path = ROOT,
        **env: str,
    ) -> None:
        self.master, slave = pty.openpty()
        fcntl.ioctl(slave, termios.TIOCSWINSZ, struct.pack("HHHH", size[1], size[0], 0, 0))
        kept = {name: value for name, value in os.environ.items() if name in {"PATH", "LANG", "LC_ALL"}}
        self.before = termios.tcgetattr(slave)
        self.slave = slave
        self.process = subprocess.Popen(
            [sys.executable, *program, command, "--db", str(database)],
            stdin=slave,
            stdout=slave,
            stderr=slave,
            cwd=folder,
            start_new_session=True,
            env=kept
            | {
                "HOME": str(home),
                "PYTHONPATH": str(ROOT),
                "TERM": "xterm-256color",
                "SLACKWATER_TODAY": "2026-02-10",
                "XDG_STATE_HOME": str(home / "state"),
            }
            | env,
        )
        self.written = b""

    def wait_for(self, words: str, seconds: float = 30.0) -> None:
        """Read until `words` were written."""
        end = time.monotonic() + seconds
        while words.encode() not in self.written:
            if time.monotonic() > end:
                raise AssertionError(f"{words!r} never came; last: {self.written[-400:]!r}")
            self.read(0.1)

    def read(self, seconds: float) -> None:
        """Read what comes within some seconds."""
        end = time.monotonic() + seconds
        while (left := end - time.monotonic()) > 0:
            ready, _, _ = select.select([self.master], [], [], left)
            if not ready:
                return
            try:
                self.written += os.read(self.master, 65536)
            except OSError:
                return

    def send(self, keys: str, seconds: float = 0.15) -> None:
        """Type, and read what comes of it."""
        os.write(self.master, keys.encode())
        self.read(seconds)

    def stop(self, number: signal.Signals) -> int:
        """Send a signal, and return the exit code once it ends."""
        self.process.send_signal(number)
        return self.ended()

    def ended(self, seconds: float = 20.0) -> int:
        """Wait for the end; return the exit code."""
        end = time.monotonic() + seconds
        while self.process.poll() is None and time.monotonic() < end:
            self.read(0.1)
        code = self.process.wait(timeout=1)
        self.read(0.2)
        return code

    def hang_up(self) -> None:
        """Take the terminal away, as closing its window does where no shell passes a signal on."""
        os.close(self.slave)
        os.close(self.master)
        self.slave = self.master = -1

    def close(self) -> None:
        """Leave nothing running."""
        if self.process.poll() is None:
            self.process.kill()
            self.process.wait()
        for descriptor in {self.master, self.slave} - {-1}:
            os.close(descriptor)
