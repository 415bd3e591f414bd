"""The role that a verdict's word or a fault's state is drawn in; `look.tcss` gives each its colour."""

from __future__ import annotations

from typing import assert_never

from tracker.engine.verdict.verdict import Word
from tracker.model.vocabularies import Phase, State


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
        case Word.UNDECIDED:
            return "undecided"
        case Word.TOO_EARLY:
            return "too-early"
        case other:
            assert_never(other)


def state_role(state: State) -> str:
    """Return the role of a fault's state: what nobody works on stands out as a plateau does."""
    match state.phase:
        case Phase.WAITING:
            return "plateau"
        case Phase.IN_WORK:
            return "slowed"
        case Phase.PARKED | Phase.CLOSED:
            return "quiet"
        case other:
            assert_never(other)
