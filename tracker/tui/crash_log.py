"""The log of the screens: where an error came from, and never a value, which may be personal data."""

from __future__ import annotations

import datetime as dt
import os
from pathlib import Path
from traceback import extract_tb

from tracker.output.whole_files import private_folder


def write_log(folder: Path, error: BaseException, at: dt.datetime) -> Path:
    """Append where an error came from to the log, without any of its values; return the log's path."""
    private_folder(folder)
    path = folder / "screens.log"
    lines = [f"{at.isoformat(timespec='seconds')} {type(error).__name__}"]
    frames = extract_tb(error.__traceback__)
    lines += [f"  {Path(frame.filename).name}:{frame.lineno} {frame.name}" for frame in frames]
    handle = os.open(path, os.O_WRONLY | os.O_CREAT | os.O_APPEND, 0o600)
    with os.fdopen(handle, "a", encoding="utf-8") as log:
        log.write("\n".join(lines) + "\n")
    return path
