"""The user's own folders swept of a person: drafts, cached rows, partial copies, logs."""

from __future__ import annotations

import os
import re
from collections.abc import Collection, Iterator
from dataclasses import dataclass
from hashlib import sha256
from pathlib import Path

from tracker.errors import SlackwaterError
from tracker.model.text import name_key
from tracker.store.persons import Person, without_name

_ESCAPE = re.compile(r'\\(?:u([0-9a-fA-F]{4})|(["\\/]))')
"""What a letter of a name may be in JSON."""


@dataclass(frozen=True)
class Trace:
    """A file that names a person; a log loses those lines only, any other file goes."""

    path: Path
    lines_only: bool


def find_traces(folders: Collection[Path], person: Person, others: Collection[str]) -> list[Trace]:
    """Return the files under some folders that name a person, in their name or content.

    Parameters
    ----------
    folders
        The user's folders for state and cache; one that is not there is empty.
    others
        The labels of everybody else: a longer one of theirs is no trace.
    """
    marks = [sha256(name_key(label).encode()).hexdigest()[:16] for label in person.labels]
    return [
        Trace(path, path.suffix == ".log")
        for folder in folders
        for path in _files(folder)
        if any(mark in path.name for mark in marks) or _names(path, person, others)
    ]


def _files(folder: Path) -> Iterator[Path]:
    for path in sorted(folder.rglob("*")):
        if path.is_file() and not path.is_symlink():
            yield path


def _names(path: Path, person: Person, others: Collection[str]) -> bool:
    try:
        text = path.read_bytes().decode("utf-8", "replace")
    except OSError as error:
        raise SlackwaterError(f"cannot read {path}: {error.strerror}") from None
    return any(without_name(form, person, others) != form for form in _forms(text))


def _forms(text: str) -> Iterator[str]:
    """Give a text as it stands, and with JSON's escapes undone, whether all of it is JSON or not."""
    yield text
    if "\\" in text:
        plain = _ESCAPE.sub(lambda found: chr(int(found[1], 16)) if found[1] else found[2], text)
        yield plain.encode("utf-16", "surrogatepass").decode("utf-16", "replace")


def remove_traces(traces: Collection[Trace], person: Person, others: Collection[str]) -> None:
    """Take the traces away.

    Raises
    ------
    SlackwaterError
        If a file cannot be changed; says which.
    """
    for trace in traces:
        try:
            if trace.lines_only:
                _remove_lines(trace.path, person, others)
            else:
                trace.path.unlink(missing_ok=True)
        except OSError as error:
            raise SlackwaterError(
                f"cannot remove {trace.path}: {error.strerror}; remove it yourself"
            ) from None


def _remove_lines(path: Path, person: Person, others: Collection[str]) -> None:
    lines = path.read_bytes().decode("utf-8", "replace").splitlines(keepends=True)
    others_lines = [line for line in lines if without_name(line, person, others) == line]
    part = path.with_name(f".{path.name}.part")
    handle = os.open(part, os.O_WRONLY | os.O_CREAT | os.O_TRUNC, 0o600)
    with os.fdopen(handle, "w", encoding="utf-8", newline="") as stream:
        stream.writelines(others_lines)
    part.replace(path)
