"""Run the screens until they are left, and leave the terminal as it was, whatever happens."""

from __future__ import annotations

import os
import sys

from tracker.errors import SlackwaterError
from tracker.tui.app import SlackwaterApp
from tracker.tui.crash_log import write_log
from tracker.tui.desk import Desk
from tracker.tui.hangup import end_with_the_terminal


def run_app(desk: Desk, *, mouse: bool = True) -> int:
    """Run the screens; return the exit code.

    A crash is told in one line; its log names places in the code and kinds of error, never
    values: they may be somebody's personal data.
    """
    heed_environment()
    end_with_the_terminal(sys.stdout.fileno())
    app = SlackwaterApp(desk)
    code = app.run(mouse=mouse)
    if isinstance(app.crash, SlackwaterError):
        raise app.crash
    if app.crash is not None:
        log = write_log(desk.state, app.crash, app.now())
        sys.stderr.write(
            f"error: the screens stopped ({type(app.crash).__name__}); everything saved is safe, "
            f"what was being typed is kept as a draft; the log is {log}\n"
        )
        return 1
    if app.stopped_by:
        sys.stderr.write(f"stopped by {app.stopped_by}; what was being typed is kept as a draft\n")
    return code if isinstance(code, int) else 0


def heed_environment() -> None:
    """Let an empty NO_COLOR mean unset, as the convention says and the library does not."""
    if os.environ.get("NO_COLOR") == "":
        del os.environ["NO_COLOR"]


def is_light(colours: str) -> bool:
    """Whether a terminal's COLORFGBG ("15;0", "0;default;15") names a light ground."""
    return colours.rpartition(";")[2] in {"7", "15"}
