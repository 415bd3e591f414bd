"""The role that a verdict's word is drawn in; `look.tcss` gives each its colour."""

from __future__ import annotations

from typing import assert_never

from tracker.engine.verdict.verdict import Word


def role_of(word: Word | None) -> str:
    """Return the role of a word; quiet where there is none."""
    match word:
        case None:
            return "quiet"
        case Word.GAINING:
            return "gaining"
        case Word.PLATEAU:
            return "plateau"
        case Word.SLIPPING:
            return "slipping"
        case Word.SLOWED:
            return "slowed"
        case Word.TOO_EARLY:
            return "too-early"
        case other:
            assert_never(other)
