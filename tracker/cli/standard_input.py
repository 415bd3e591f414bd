"""``-`` as a file name: standard input as a file for the reader of files; never a place to write to."""

from __future__ import annotations

import shutil
import sys
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from tracker.errors import BadFileError, UsageError


@contextmanager
def file_or_input(name: str) -> Iterator[Path]:
    """Give the path called `name`; for ``-`` a private copy of standard input.

    Raises
    ------
    BadFileError
        If there is no such file.
    UsageError
        If standard input is a terminal: nothing would come.
    """
    if name != "-":
        if not Path(name).exists():
            raise BadFileError(f"there is no file or folder {name}")
        yield Path(name)
        return
    if sys.stdin.isatty():
        raise UsageError("'-' reads standard input, which is the terminal here; pipe a file in")
    with tempfile.TemporaryDirectory(prefix="slackwater-") as folder:
        copy = Path(folder) / "standard input"
        with copy.open("wb") as stream:
            shutil.copyfileobj(sys.stdin.buffer, stream)
        yield copy


def place_to_write(name: str, flag: str = "") -> Path:
    """Return the path called `name`, under which files are written.

    Raises
    ------
    UsageError
        If it is ``-``: files do not fit into one stream.
    """
    if name == "-":
        where = f"{flag}: " if flag else ""
        raise UsageError(
            f"{where}'-' would be standard output, and files are written here; name a file or folder "
            "(one that is really called so: './-')"
        )
    return Path(name)
