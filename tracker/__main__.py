"""The command: ``slackwater`` and ``python -m tracker``."""

from __future__ import annotations

import gc
import os
import signal
import sys

from tracker.cli.main import main

_ROUND = 50_000
"""Objects made before Python looks for circles among them; its own 700 makes a big scan a fifth longer."""


def run() -> None:
    """Run the command line and leave with its exit code; die of SIGPIPE as a filter does."""
    gc.set_threshold(_ROUND)
    for stream in (sys.stdout, sys.stderr):
        # The same bytes under every locale; a name that no encoding can write is shown escaped.
        stream.reconfigure(encoding="utf-8", errors="backslashreplace")  # type: ignore[union-attr]
    code = main(sys.argv[1:])
    if code == 128 + signal.SIGPIPE:
        sys.stdout = open(os.devnull, "w")  # noqa: SIM115, PTH123 - the reader is gone; nothing may be flushed to it
        signal.signal(signal.SIGPIPE, signal.SIG_DFL)
        os.kill(os.getpid(), signal.SIGPIPE)
    sys.exit(code)


if __name__ == "__main__":
    run()
