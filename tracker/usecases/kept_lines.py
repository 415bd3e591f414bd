"""Roster lines kept from scan to scan, and from one that was broken off to the next.

One file of JSON lines a database, in the user's cache, readable by its owner only. Each line begins with
what it rests on (`usecases.roster_prints`) and is used again only where that is the same. It is written as
the scan goes, so whatever breaks one off costs at most the parts in work. A half-written line is not read.
"""

from __future__ import annotations

import json
import os
from collections.abc import Iterable, Iterator, Mapping
from contextlib import suppress
from hashlib import sha256
from pathlib import Path

from tracker.faults.roster_line import RosterLine
from tracker.output.whole_files import private_folder
from tracker.usecases.plain_values import from_plain, shape_of, to_plain

METHOD = 4
"""Raised whenever the same record would give another line, or a line is written in another way."""


class KeptLines:
    """The lines kept of one database.

    Parameters
    ----------
    folder
        The user's cache folder; made if need be.
    place
        The database's name.
    """

    def __init__(self, folder: Path, place: str) -> None:
        self._path = folder / f"lines-{sha256(place.encode()).hexdigest()[:16]}.jsonl"
        self._prints = self._path.with_name(self._path.name.replace("lines", "prints", 1)).with_suffix(
            ".json"
        )
        self._head = f"{METHOD} {sha256(shape_of(RosterLine).encode()).hexdigest()[:16]}\n".encode()
        self._file: int | None = None
        self._found = 0

    def known_prints(self, state: str) -> dict[str, str] | None:
        """Return the prints kept for this state of the data; None if it was another."""
        try:
            found = json.loads(self._prints.read_text(encoding="utf-8"))
            return dict(found["prints"]) if found["state"] == state else None
        except (OSError, ValueError, TypeError, LookupError):
            return None

    def keep_prints(self, state: str, prints: Mapping[str, str]) -> None:
        """Keep the prints of a state of the data; the old file stays until the new one is complete."""
        private_folder(self._path.parent)
        part = self._prints.with_suffix(".part")
        handle = os.open(part, os.O_WRONLY | os.O_CREAT | os.O_TRUNC, 0o600)
        with os.fdopen(handle, "w", encoding="utf-8") as stream:
            json.dump({"state": state, "prints": dict(prints)}, stream)
        part.replace(self._prints)

    def load(self, prints: Mapping[str, str], among: Iterable[str]) -> Iterator[RosterLine]:
        """Yield the lines of these swimmers that still hold, each read when it is asked for."""
        left = set(among)
        holding = {_start(rests_on) for rests_on in prints.values()}
        self._found = 0
        for text in self._texts():
            self._found += 1
            if text[: text.find(b",") + 1] not in holding:  # most lines of a file are of days gone by
                continue
            try:
                rests_on, name, plain = json.loads(text.decode("ascii"))
                if name not in left or prints.get(name) != rests_on:
                    continue
                line = from_plain(RosterLine, plain)
            except (ValueError, TypeError, LookupError, AttributeError):
                continue
            left.discard(name)
            yield line

    def keep(self, lines: Iterable[RosterLine], prints: Mapping[str, str]) -> None:
        """Add lines; they are on the disk when this returns."""
        if self._file is None:
            self._file = self._opened()
        texts = [
            json.dumps([prints[line.swimmer], line.swimmer, to_plain(line)], separators=(",", ":")) + "\n"
            for line in lines
            if line.swimmer in prints
        ]
        self._add("".join(texts).encode())
        os.fsync(self._file)

    def _add(self, text: bytes) -> None:
        """Add a text in one piece, so that two scans at once do not mix theirs."""
        data = memoryview(text)
        while self._file is not None and data:
            data = data[os.write(self._file, data) :]

    def close(self, prints: Mapping[str, str]) -> None:
        """Finish; a file with more old lines than good ones is written anew."""
        if self._file is None:
            return
        self._shut()
        if self._found <= 2 * len(prints):
            return
        good = list(self.load(prints, prints))
        old, part = self._path, self._path.with_suffix(".part")
        part.unlink(missing_ok=True)
        self._path = part
        self.keep(good, prints)
        self._shut()
        self._path = old
        part.replace(old)

    def _shut(self) -> None:
        if self._file is not None:
            os.close(self._file)
        self._file = None

    def _texts(self) -> Iterator[bytes]:
        """Yield the lines of the file; none of a file of another form."""
        with suppress(OSError), self._path.open("rb") as stream:
            if stream.readline() == self._head:
                yield from stream

    def _opened(self) -> int:
        """Open the file to add to it, after its last whole line; one of another form begins anew."""
        private_folder(self._path.parent)
        self._file = os.open(self._path, os.O_RDWR | os.O_CREAT | os.O_APPEND, 0o600)
        if os.pread(self._file, len(self._head), 0) != self._head:
            os.truncate(self._file, 0)
            self._add(self._head)
        elif os.pread(self._file, 1, os.fstat(self._file).st_size - 1) != b"\n":
            self._add(b"\n")
        return self._file


def _start(rests_on: str) -> bytes:
    """Return how a line that rests on this begins."""
    return f'["{rests_on}",'.encode()
