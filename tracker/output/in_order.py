"""Texts that come in any order and are told in that of their keys, in little memory.

A roster is printed by need, and whose need is greatest is known when the last one is judged.
"""

from __future__ import annotations

import zlib
from collections.abc import Iterable, Iterator
from operator import itemgetter
from typing import Any, Final

PLENTY: Final = 16_000_000
"""Characters held as they are; what comes after is packed to a ninth, which takes a little while."""
_ALIKE: Final = 32_768
"""Bytes of text known to the packer beforehand: the most it looks back."""


class InOrder:
    """Holds texts until all are there; iterate to have them in order. No two keys may be equal."""

    def __init__(self) -> None:
        self._texts: list[tuple[Any, str | bytes]] = []
        self._held = 0
        self._packer: _Packer | None = None

    def __len__(self) -> int:
        return len(self._texts)

    def add(self, key: Any, text: str) -> None:  # noqa: ANN401 - whatever has an order
        """Hold a text."""
        self._held += len(text)
        if self._held <= PLENTY:
            self._texts.append((key, text))
            return
        if self._packer is None:
            self._packer = _Packer([one for _, one in self._texts[-100:] if isinstance(one, str)])
        self._texts.append((key, self._packer.packed(text)))

    def __iter__(self) -> Iterator[str]:
        for _, text in sorted(self._texts, key=itemgetter(0)):
            if isinstance(text, str):
                yield text
            elif self._packer is not None:
                yield self._packer.unpacked(text)


class _Packer:
    """Packs texts one by one, as small as if they followed the texts that they are like."""

    def __init__(self, alike: Iterable[str]) -> None:
        self._alike = "".join(alike).encode()[-_ALIKE:]
        self._begun = zlib.compressobj(3, zdict=self._alike)

    def packed(self, text: str) -> bytes:
        press = self._begun.copy()
        return press.compress(text.encode()) + press.flush()

    def unpacked(self, packed: bytes) -> str:
        return zlib.decompressobj(zdict=self._alike).decompress(packed).decode()
