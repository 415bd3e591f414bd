"""Who needs a look first: a rank with its grounds, so that the list can be worked from the top."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

from tracker.faults.due import Due
from tracker.faults.link import Link
from tracker.verdict.verdict import Verdict, Word

if TYPE_CHECKING:
    from tracker.records.swimmer import Choice

Ground = Literal[
    "plateau with an open fault",
    "plateau without a review",
    "slipping",
    "plateau in work",
    "slowed",
    "test due",
    "look due",
    "too early",
    "gaining",
]
GROUNDS: tuple[Ground, ...] = (
    "plateau with an open fault",
    "plateau without a review",
    "slipping",
    "plateau in work",
    "slowed",
    "test due",
    "look due",
    "too early",
    "gaining",
)
"""From most in need to least."""

WAITING = frozenset({"open", "back"})
"""States of a fault that nobody is working on, and nobody chose to leave."""


@dataclass(frozen=True)
class Attention:
    """How much a swimmer needs a look.

    Attributes
    ----------
    grounds
        All that apply, most pressing first; never empty.
    new
        Whether nobody has marked this verdict as seen since it began.
    rank
        Smaller is more pressing; the new come before those already seen.
    """

    grounds: tuple[Ground, ...]
    new: bool

    @property
    def rank(self) -> tuple[int, int]:
        """Sort key: the most pressing ground, then new before seen."""
        return GROUNDS.index(self.grounds[0]), int(not self.new)


def attention(
    verdict: Verdict | None,
    link: Link | None,
    next_due: Due,
    choices: Sequence[Choice],
    *,
    as_of: dt.date,
) -> Attention:
    """Return why and how much a swimmer needs a look."""
    grounds: list[Ground] = []
    word: Word = "too early" if verdict is None else verdict.verdict
    if word == "plateau":
        grounds.append(_plateau(link))
    elif word in {"slipping", "slowed"}:
        grounds.append("slipping" if word == "slipping" else "slowed")
    if next_due.test_due(as_of):
        grounds.append("test due")
    if next_due.look_due(as_of):
        grounds.append("look due")
    if word == "too early":
        grounds.append("too early")
    elif word == "gaining":
        grounds.append("gaining")
    return Attention(tuple(grounds), new=_is_new(verdict, choices, as_of))


def _plateau(link: Link | None) -> Ground:
    if link is None or link.how == "none":
        return "plateau without a review"
    return "plateau with an open fault" if link.state_now in WAITING else "plateau in work"


def _is_new(verdict: Verdict | None, choices: Sequence[Choice], as_of: dt.date) -> bool:
    """Return whether nobody, from the day it began to `as_of`, marked a verdict that calls for a look."""
    if verdict is None or verdict.verdict not in {"plateau", "slipping", "slowed"}:
        return False
    seen = [choice for choice in choices if choice.kind == "seen" and choice.value == verdict.verdict]
    return not any(verdict.since <= choice.date <= as_of for choice in seen)
