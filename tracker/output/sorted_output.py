"""Sort texts by key in little memory, however many they are.

A roster is printed by need, and whose need is greatest is known when the last one is judged.
"""

from __future__ import annotations

import json
import os
from collections.abc import Iterator
from contextlib import suppress
from heapq import merge
from operator import itemgetter
from typing import IO, Any, Final, Self

from tracker.errors import SlackwaterError

PLENTY: Final = 16_000_000
"""Characters held; as often as there are more, they are put in order and written to a file without a name."""
_BLOCK: Final = 16_384

_Pair = tuple[Any, str]


class SortedOutput:
    """Holds texts until all are there; iterate to have them in order. Close it, best by ``with``.

    Keys have an order, no two are equal, and JSON can write them (a tuple as a list: the order is the same).
    """

    def __init__(self) -> None:
        self._pairs: list[_Pair] = []
        self._held = 0
        self._count = 0
        self._file: IO[bytes] | None = None
        self._runs: list[tuple[int, int]] = []

    def __enter__(self) -> Self:
        return self

    def __exit__(self, *_: object) -> None:
        if self._file is not None:
            with suppress(OSError):  # on a full disk closing tries once more to write what nobody needs now
                self._file.close()

    def __len__(self) -> int:
        return self._count

    def add(self, key: Any, text: str) -> None:  # noqa: ANN401 - whatever has an order
        """Hold a text.

        Raises
        ------
        SlackwaterError
            If there is no room for the file.
        """
        self._pairs.append((key, text))
        self._count += 1
        self._held += len(text)
        if self._held > PLENTY:
            self._write()

    def __iter__(self) -> Iterator[str]:
        self._pairs.sort(key=itemgetter(0))
        runs = [self._read(start, end) for start, end in self._runs]
        held = ((_listed(key), text) for key, text in self._pairs) if runs else self._pairs
        for _, text in merge(*runs, held, key=itemgetter(0)):
            yield text

    def _write(self) -> None:
        """Put what is held in order and write it out."""
        import tempfile  # loads a good deal, and only thousands of swimmers need it

        self._pairs.sort(key=itemgetter(0))
        try:
            if self._file is None:
                self._file = tempfile.TemporaryFile()  # noqa: SIM115 - closed on leaving
            start = self._file.tell()
            for pair in self._pairs:
                self._file.write(json.dumps(pair).encode() + b"\n")
            self._file.flush()
        except OSError as error:
            place = tempfile.tempdir or "a temporary folder"  # None: no folder could be written
            raise SlackwaterError(
                f"cannot hold so long a roster in {place}: {error.strerror}; make room or set TMPDIR"
            ) from None
        self._runs.append((start, self._file.tell()))
        self._pairs, self._held = [], 0

    def _read(self, start: int, end: int) -> Iterator[_Pair]:
        """Yield what was written at once, a little at a time; others read the same file meanwhile."""
        rest = b""
        while self._file is not None and start < end:
            block = os.pread(self._file.fileno(), min(_BLOCK, end - start), start)
            start += len(block)
            *lines, rest = (rest + block).split(b"\n")
            for line in lines:
                key, text = json.loads(line)
                yield key, text


def _listed(key: Any) -> Any:  # noqa: ANN401 - whatever has an order
    """Return a key as JSON gives it back."""
    return [_listed(part) for part in key] if isinstance(key, tuple | list) else key
