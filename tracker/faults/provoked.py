"""Cues that can bring a fault about when overdone, and whether one was in use when it was opened."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable
from typing import Final

from tracker.records.catalogue import Fault
from tracker.records.text import name_key
from tracker.records.work import Work

_AGAINST: Final = frozenset(
    {"no", "not", "don't", "dont", "never", "without", "stop", "less", "avoid", "instead"}
)
_EMPTY: Final = frozenset({"a", "an", "the", "to", "in", "of", "with", "your", "every", "at"})


def in_use(work: Work, day: dt.date) -> bool:
    """Return whether the cue or drill was in use on `day`."""
    return work.from_date <= day and (work.to_date is None or work.to_date >= day)


def provoking(entry: Fault, work: Iterable[Work], opened: dt.date) -> tuple[Work, ...]:
    """Return the cues in use on the day the fault was opened that can provoke it.

    A cue meant against this very fault doesn't count, unless its words say otherwise to the body:
    only its words are read.
    """
    return tuple(
        cue for cue in work if cue.kind == "cue" and in_use(cue, opened) and can_provoke(entry, cue.text)
    )


def can_provoke(entry: Fault, cue: str) -> bool:
    """Return whether a cue's words hold one of the wordings that can provoke the fault.

    A wording matches where all its words stand in the cue, in any order and apart from endings, and
    none of them is turned round by a "not", "less" or the like before it (but "kick less" is itself
    a wording).
    """
    words = [word.strip(".,;:!?\"'()") for word in name_key(cue).split()]
    said = {_stem(word) for place, word in enumerate(words) if not _turned_round(words, place)}
    literally = {_stem(word) for word in words}
    return any(
        wanted <= (literally if wanted & _AGAINST else said) for wanted in map(_wanted, entry.provoked_by)
    )


def _wanted(phrase: str) -> set[str]:
    return {_stem(word) for word in name_key(phrase).split() if word not in _EMPTY}


def _turned_round(words: list[str], place: int) -> bool:
    """Return whether one of the two words before says the opposite."""
    return any(word in _AGAINST for word in words[max(0, place - 2) : place])


def _stem(word: str) -> str:
    """Return the word without the commonest endings ("longer", "gliding", "earlier")."""
    for ending in ("ing", "er", "es", "s"):
        if word.endswith(ending) and len(word) - len(ending) >= 4:
            word = word[: -len(ending)]
            break
    return word[:-1] if len(word) > 4 and word[-1] in "eiy" else word
