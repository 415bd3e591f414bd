"""What an import added, in words."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Final

from tracker.output.numbers import count

KINDS: Final[Mapping[str, tuple[str, str]]] = {
    "swimmers": ("swimmer", ""),
    "swims": ("swim", ""),
    "tests": ("test of the club's own", "tests of the club's own"),
    "reviews": ("entry of a review", "entries of reviews"),
    "faults": ("step of a fault", "steps of faults"),
    "own_faults": ("fault of the club's own", "faults of the club's own"),
    "work": ("cue or drill", "cues and drills"),
    "events": ("event", ""),
    "load": ("week of swimming", "weeks of swimming"),
    "consents": ("consent", ""),
    "choices": ("decision of the coach", "decisions of the coach"),
}
"""Stem of a club's file -> what one row of it is, and several."""


def added_words(added: Mapping[str, int]) -> str:
    """Return "1 swimmer, 12 swims"; what is not there is left out."""
    said = [count(rows, *KINDS[stem]) for stem, rows in added.items() if rows]
    return ", ".join(said) or "nothing new"
