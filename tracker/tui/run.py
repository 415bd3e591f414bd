"""Run the screens until they are left, and leave the terminal as it was, whatever happens."""

from __future__ import annotations

import datetime as dt
import os
import sys
from pathlib import Path
from traceback import extract_tb

from tracker.tui.app import SlackwaterApp
from tracker.tui.desk import Desk


def run_app(desk: Desk, *, mouse: bool = True) -> int:
    """Run the screens; return the exit code.

    A crash is told in one line; its log names places in the code and kinds of error, never
    values: they may be somebody's personal data.
    """
    heed_environment()
    app = SlackwaterApp(desk)
    code = app.run(mouse=mouse)
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


def write_log(folder: Path, error: BaseException, at: dt.datetime) -> Path:
    """Append where an error came from to the log, without any of its values; return the log's path."""
    folder.mkdir(mode=0o700, parents=True, exist_ok=True)
    path = folder / "screens.log"
    lines = [f"{at.isoformat(timespec='seconds')} {type(error).__name__}"]
    frames = extract_tb(error.__traceback__)
    lines += [f"  {Path(frame.filename).name}:{frame.lineno} {frame.name}" for frame in frames]
    handle = os.open(path, os.O_WRONLY | os.O_CREAT | os.O_APPEND, 0o600)
    with os.fdopen(handle, "a", encoding="utf-8") as log:
        log.write("\n".join(lines) + "\n")
    return path
