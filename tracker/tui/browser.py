"""The same screens in a browser on this machine: an extra, loopback only, since it has no login."""

from __future__ import annotations

import shlex
import sys
from collections.abc import Sequence
from importlib.util import find_spec

from tracker.errors import UsageError

HOST = "127.0.0.1"
DRIVER_VARIABLE = "TEXTUAL_DRIVER"
"""Set by the server for the screens that it runs; then there is a page where a terminal would be."""


def serve(flags: Sequence[str], port: int) -> None:
    """Serve the screens until interrupted.

    Parameters
    ----------
    flags
        What ``slackwater open`` is to be given.
    port
        On the loopback interface; nobody else on the network can reach it.

    Raises
    ------
    UsageError
        If the extra is not installed.
    """
    if find_spec("textual_serve") is None:
        raise UsageError("serving needs the extra: pip install 'slackwater[browser]'")
    from textual_serve.server import Server

    command = shlex.join([sys.executable, "-m", "tracker", *flags, "open"])
    Server(command, host=HOST, port=port, title="slackwater").serve()
