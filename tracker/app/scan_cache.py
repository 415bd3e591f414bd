"""The cache of roster rows, valid for this version of the program."""

from __future__ import annotations

import os
from collections.abc import Iterator
from hashlib import sha256
from pathlib import Path

import tracker
from tracker.app.session import Session
from tracker.store.row_cache import RowCache


def scan_cache(folder: Path, session: Session) -> RowCache:
    """Return the cache of a session's database in the user's cache folder."""
    return RowCache(folder, session.store.address, program_fingerprint())


def program_fingerprint() -> str:
    """Return a text that rests on the name, size and time of every file of the program."""
    folder = Path(tracker.__file__).parent
    return sha256("\n".join(sorted(_files(folder))).encode()).hexdigest()[:16]


def _files(folder: Path | str) -> Iterator[str]:
    with os.scandir(folder) as found:
        for one in found:
            if not one.is_dir():
                state = one.stat()
                yield f"{one.path} {state.st_size} {state.st_mtime_ns}"
            elif one.name != "__pycache__":
                yield from _files(one.path)
