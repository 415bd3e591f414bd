"""The cache of rendered rows: each under a fingerprint of what it rests on.

One file a database, in the user's cache, readable by its owner only. Each line rests on what is on record
(`app.scan_cache`), all of them on this very program, and one is told again only where both are the
same. It is written as the scan goes, so whatever breaks one off costs at most the parts in work.

Of each line there is a head, a JSON list on one line, and its own JSON text as it is printed. The head begins
with what the line rests on, the bytes of the text and a checksum: most lines of a file are of days gone by
and are passed over unread, and what a kill or a disk has spoilt is not told.
"""

from __future__ import annotations

import json
import os
from collections.abc import Iterable, Iterator, Mapping
from contextlib import contextmanager, suppress
from hashlib import sha256
from itertools import chain
from pathlib import Path
from typing import BinaryIO, NamedTuple
from zlib import crc32

import tracker
from tracker.errors import SlackwaterError
from tracker.output.rendered_row import RenderedRow
from tracker.output.whole_files import private_folder
from tracker.remedies import Mend


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


FORMAT = 1
"""Raised whenever a line is written in another way."""
_DIGITS = 7
"""Of the bytes of a text: more is damage."""


class _Entry(NamedTuple):
    """What a line rests on, the rest of its head, its JSON text."""

    fingerprint: bytes
    rest: bytes
    text: bytes

    def packed(self) -> bytes:
        """Return the entry as it stands in the file."""
        size, sum_of = b"%d" % len(self.text), b"%d" % crc32(self.text, crc32(self.rest))
        return b'["' + self.fingerprint + b'",' + size + b"," + sum_of + b"," + self.rest + self.text + b"\n"


class ScanCache:
    """The lines kept of one database.

    Parameters
    ----------
    folder
        The user's cache folder; made if need be.
    place
        The database's name.
    program
        What changes whenever the program does (`app.scan_cache`).
    """

    def __init__(self, folder: Path, database: str, program: str) -> None:
        name = sha256(database.encode()).hexdigest()[:16]
        self._path, self._fingerprints_path = folder / f"lines-{name}.txt", folder / f"prints-{name}.json"
        self._program = program
        self._first = f"{FORMAT} {program}\n".encode()
        self._file: int | None = None
        self._found = 0

    def load_fingerprints(self, state: str) -> dict[str, str] | None:
        """Return the prints kept for this state of the data; None if it was another, or another program's."""
        try:
            found = json.loads(self._fingerprints_path.read_text(encoding="utf-8"))
            return dict(found["prints"]) if found["state"] == [self._program, state] else None
        except (OSError, ValueError, TypeError, LookupError):
            return None

    def save_fingerprints(self, state: str, fingerprints: Mapping[str, str]) -> None:
        """Keep the prints of a state of the data; the old file stays until the new one is complete."""
        with self._explained_errors():
            private_folder(self._path.parent)
            part = self._fingerprints_path.with_suffix(".part")
            handle = os.open(part, os.O_WRONLY | os.O_CREAT | os.O_TRUNC, 0o600)
            with os.fdopen(handle, "w", encoding="utf-8") as stream:
                json.dump({"state": [self._program, state], "prints": dict(fingerprints)}, stream)
            part.replace(self._fingerprints_path)

    def load(self, fingerprints: Mapping[str, str], among: Iterable[str]) -> Iterator[RenderedRow]:
        """Yield the lines of these swimmers that still hold, each read when it is asked for."""
        left = set(among)
        for entry in self._valid_entries(fingerprints):
            swimmer, rank, *values = json.loads(b"[" + entry.rest)
            if swimmer in left and fingerprints.get(swimmer, "").encode() == entry.fingerprint:
                left.discard(swimmer)
                word, new, grounds, flat, row = values
                yield RenderedRow(
                    swimmer, tuple(rank), word, new, tuple(grounds), flat, row, entry.text.decode()
                )

    def add(self, lines: Iterable[RenderedRow], fingerprints: Mapping[str, str]) -> None:
        """Add lines; they are on the disk when this returns."""
        entries = []
        for line in lines:
            if line.swimmer in fingerprints:
                rest = json.dumps(line[:-1], ensure_ascii=False, separators=(",", ":"))[1:] + "\n"
                entries.append(_Entry(fingerprints[line.swimmer].encode(), rest.encode(), line.json.encode()))
        with self._explained_errors():
            if self._file is None:
                self._file = self._open()
            self._append(b"".join(entry.packed() for entry in entries))
            os.fsync(self._file)

    def close(self, fingerprints: Mapping[str, str]) -> None:
        """Finish; a file with more old lines than good ones is written anew."""
        if self._file is None:
            return
        os.close(self._file)
        self._file = None
        if self._found <= 2 * len(fingerprints):
            return
        good = {entry.fingerprint: entry for entry in self._valid_entries(fingerprints)}
        part = self._path.with_suffix(".part")
        with self._explained_errors():
            handle = os.open(part, os.O_WRONLY | os.O_CREAT | os.O_TRUNC, 0o600)
            with os.fdopen(handle, "wb") as stream:
                stream.writelines(chain([self._first], (entry.packed() for entry in good.values())))
                stream.flush()
                os.fsync(stream.fileno())
            part.replace(self._path)

    @contextmanager
    def _explained_errors(self) -> Iterator[None]:
        """Say of a disk that is full or read only which one it is; what was kept before still holds."""
        try:
            yield
        except OSError as error:
            raise SlackwaterError(
                f"cannot keep lines in {self._path.parent}: {error.strerror}; make room there",
                Mend.SCAN_ANEW,
            ) from None

    def _valid_entries(self, fingerprints: Mapping[str, str]) -> Iterator[_Entry]:
        """Yield the whole entries that rest on one of these prints, and count them all."""
        wanted = {fingerprint.encode() for fingerprint in fingerprints.values()}
        self._found = 0
        with suppress(OSError), self._path.open("rb") as stream:
            if stream.readline() == self._first:
                for entry in _entries(stream):
                    self._found += 1
                    if entry.fingerprint in wanted:
                        yield entry

    def _append(self, text: bytes) -> None:
        """Add a text in one piece, so that two scans at once do not mix theirs."""
        data = memoryview(text)
        while self._file is not None and data:
            data = data[os.write(self._file, data) :]

    def _open(self) -> int:
        """Open the file to add to it, on a new line; one of another form or program begins anew."""
        private_folder(self._path.parent)
        self._file = os.open(self._path, os.O_RDWR | os.O_CREAT | os.O_APPEND, 0o600)
        if os.pread(self._file, len(self._first), 0) != self._first:
            os.truncate(self._file, 0)
            self._append(self._first)
        elif os.pread(self._file, 1, os.fstat(self._file).st_size - 1) != b"\n":
            self._append(b"\n")
        return self._file


def _entries(stream: BinaryIO) -> Iterator[_Entry]:
    """Yield the whole entries; after a spoilt one go on where a line begins the next."""
    while head := stream.readline():
        if not head.startswith(b'["'):
            continue
        parts = head.split(b",", 3)
        if len(parts) < 4 or not parts[1].isdigit() or len(parts[1]) > _DIGITS:
            continue
        at = stream.tell()
        text = stream.read(int(parts[1]))
        if b"%d" % crc32(text, crc32(parts[3])) == parts[2]:
            stream.read(1)  # the end of its last line
            yield _Entry(parts[0][2:-1], parts[3], text)
        else:
            stream.seek(at)
