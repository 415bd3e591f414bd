"""How many terminal cells a text takes, and cutting it to a width; grapheme clusters stay whole."""

from __future__ import annotations

from wcwidth import iter_graphemes, wcswidth


def cells(text: str) -> int:
    """Return how many terminal cells `text` takes; it must hold no control character."""
    return len(text) if text.isascii() else max(0, wcswidth(text))


def fit(text: str, width: int, *, pad: bool = False) -> str:
    """Return `text` cut to `width` cells, "…" last where something is cut."""
    if cells(text) > width:
        kept = ""
        for cluster in iter_graphemes(text):
            if cells(kept + cluster) > width - 1:
                break
            kept += cluster
        text = f"{kept}…" if width > 0 else ""
    return text + " " * (width - cells(text)) if pad else text
