"""Write files and folders whole or not at all, readable by their owner only."""

from __future__ import annotations

import os
import secrets
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path
from typing import BinaryIO

from tracker.errors import SlackwaterError, UsageError
from tracker.remedies import Mend


@contextmanager
def whole_file(path: Path, *, force: bool = False) -> Iterator[BinaryIO]:
    """Give a stream whose content becomes `path` at the end, and is gone on an exception.

    Raises
    ------
    UsageError
        If the file exists and `force` is not given.
    SlackwaterError
        If it cannot be written.
    """
    if path.exists() and not force:
        raise UsageError(f"{path} exists already", Mend.REPLACE)
    part = path.with_name(f".{path.name[:80]}.{secrets.token_hex(4)}.part")
    try:
        private_folder(path.parent)
        descriptor = os.open(part, os.O_CREAT | os.O_EXCL | os.O_WRONLY, 0o600)
        try:
            with os.fdopen(descriptor, "wb") as stream:
                os.fchmod(stream.fileno(), 0o600)
                yield stream
                stream.flush()
                os.fsync(stream.fileno())
            part.replace(path)
            _sync_folder(path.parent)
        except BaseException:
            with suppress(OSError):
                part.unlink()
            raise
    except OSError as error:
        raise SlackwaterError(f"cannot write {path}: {error.strerror or error}") from None


def private_folder(folder: Path) -> None:
    """Create a folder and the missing ones above it, readable by their owner only."""
    if folder.is_dir():
        return
    private_folder(folder.parent)
    folder.mkdir(mode=0o700, exist_ok=True)
    folder.chmod(0o700)


def _sync_folder(folder: Path) -> None:
    descriptor = os.open(folder, os.O_RDONLY)
    try:
        os.fsync(descriptor)
    finally:
        os.close(descriptor)
