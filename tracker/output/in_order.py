"""Texts that come in any order and are told in that of their keys, in little memory.

A roster is printed by need, and whose need is greatest is known when the last one is judged.
"""

from __future__ import annotations

import zlib
from collections.abc import Iterator
from operator import itemgetter
from typing import Any, Final

PLENTY: Final = 32_000_000
"""Characters held as they are; what comes after is packed to a third, which takes a little while."""


class InOrder:
    """Holds texts until all are there; iterate to have them in order. No two keys may be equal."""

    def __init__(self) -> None:
        self._texts: list[tuple[Any, str | bytes]] = []
        self._held = 0

    def __len__(self) -> int:
        return len(self._texts)

    def add(self, key: Any, text: str) -> None:  # noqa: ANN401 - whatever has an order
        """Hold a text."""
        self._held += len(text)
        self._texts.append((key, text if self._held <= PLENTY else zlib.compress(text.encode(), 1)))

    def __iter__(self) -> Iterator[str]:
        for _, text in sorted(self._texts, key=itemgetter(0)):
            yield text if isinstance(text, str) else zlib.decompress(text).decode()
