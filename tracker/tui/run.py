"""Run the screens in a terminal, or in a browser on this machine."""

from __future__ import annotations

import os
import select
import shlex
import signal
import sys
import threading
import time
from collections.abc import Sequence
from importlib.util import find_spec

from tracker.errors import SlackwaterError, UsageError
from tracker.tui.app import SlackwaterApp
from tracker.tui.context import AppContext
from tracker.tui.drafts import write_log


def run_app(context: AppContext, *, mouse: bool = True) -> int:
    """Run the screens; return the exit code.

    A crash is reported in one line; its log names places in the code and kinds of error, never
    values: they may be somebody's personal data.
    """
    clear_empty_no_color()
    end_with_the_terminal(sys.stdout.fileno())
    app = SlackwaterApp(context)
    code = app.run(mouse=mouse)
    if isinstance(app.crash, SlackwaterError):
        raise app.crash
    if app.crash is not None:
        log = write_log(context.state, app.crash, app.now())
        sys.stderr.write(
            f"error: the screens stopped ({type(app.crash).__name__}); everything saved is safe, "
            f"what was being typed is kept as a draft; the log is {log}\n"
        )
        return 1
    if app.stopped_by:
        sys.stderr.write(f"stopped by {app.stopped_by}; what was being typed is kept as a draft\n")
    return code if isinstance(code, int) else 0


def clear_empty_no_color() -> None:
    """Let an empty NO_COLOR mean unset, as the convention says and the library does not."""
    if os.environ.get("NO_COLOR") == "":
        del os.environ["NO_COLOR"]


def is_light(colours: str) -> bool:
    """Whether a terminal's COLORFGBG ("15;0", "0;default;15") names a light ground."""
    return colours.rpartition(";")[2] in {"7", "15"}


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


HANGUP_TIMEOUT_S = 5.0
"""How long the screens may take to end by themselves after the hang-up."""


def end_with_the_terminal(descriptor: int) -> None:
    """Watch a terminal, and end this process when it is gone; do nothing where it cannot be watched.

    The library's writer stops when the terminal is gone, its reader then spins, and the main thread waits
    for ever for room to write: a signal handler of the event loop never runs. So a thread of ours waits for
    the hang-up. Nothing is lost: what was saved is in the database, what was typed is a draft.
    """
    if not hasattr(select, "poll") or not os.isatty(descriptor):
        return
    threading.Thread(target=_wait_for_hangup, args=(descriptor,), name="hang-up", daemon=True).start()


def _wait_for_hangup(descriptor: int) -> None:
    watch = select.poll()
    watch.register(descriptor, 0)  # a hang-up is reported whatever is asked for
    watch.poll()
    os.kill(os.getpid(), signal.SIGHUP)
    time.sleep(HANGUP_TIMEOUT_S)
    os._exit(1)
