"""End the screens when their terminal goes away.

The terminal library's writer stops when the terminal is gone, its reader then spins, and the main thread
waits for ever for room to write: a signal handler of the event loop never runs. So a thread of ours waits
for the hang-up itself. Nothing is lost: what was saved is in the database, what was typed is a draft.
"""

from __future__ import annotations

import os
import select
import signal
import threading
import time

TIMEOUT_S = 5.0
"""How long the screens may take to end by themselves after the hang-up."""


def end_with_the_terminal(descriptor: int) -> None:
    """Watch a terminal, and end this process when it is gone; nothing where it cannot be watched."""
    if not hasattr(select, "poll") or not os.isatty(descriptor):
        return
    threading.Thread(target=_wait, args=(descriptor,), name="hang-up", daemon=True).start()


def _wait(descriptor: int) -> None:
    watch = select.poll()
    watch.register(descriptor, 0)  # a hang-up is reported whatever is asked for
    watch.poll()
    os.kill(os.getpid(), signal.SIGHUP)
    time.sleep(TIMEOUT_S)
    os._exit(1)
