"""What needs somebody: a line for each new verdict that calls for a look, and for what fell due.

It follows from what a row of the roster says, so that a cached row is enough.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from enum import StrEnum
from typing import Final

from tracker.technique.attention import Ground


class Matter(StrEnum):
    """What a line is about."""

    VERDICT = "verdict"
    FAULT = "fault"
    TEST = "test"
    LOOK = "look"


_MATTER_OF: Final = {
    Ground.PLATEAU_OPEN_FAULT: Matter.VERDICT,
    Ground.PLATEAU_UNREVIEWED: Matter.VERDICT,
    Ground.SLIPPING: Matter.VERDICT,
    Ground.PLATEAU_IN_WORK: Matter.VERDICT,
    Ground.SLOWED: Matter.VERDICT,
    Ground.FAULT_BACK: Matter.FAULT,
    Ground.TEST_DUE: Matter.TEST,
    Ground.LOOK_DUE: Matter.LOOK,
}
"""The grounds that need somebody; the others are only looked at."""


@dataclass(frozen=True)
class MondayLine:
    """One thing that needs somebody.

    Attributes
    ----------
    ground
        Why, one of `GROUNDS`; its words are in `output.sentences.monday`.
    word
        The verdict's word, for marking it as seen.
    """

    rank: tuple[int, int]
    swimmer: str
    matter: Matter
    ground: Ground
    word: str

    @property
    def place(self) -> tuple[tuple[int, int], str, int]:
        """Sort key: the most pressing swimmer, then the verdict before what is due."""
        return self.rank, self.swimmer, list(Matter).index(self.matter)

    @property
    def key(self) -> str:
        """What tells the line from all others."""
        return f"{self.matter} {self.swimmer}"


def monday_lines(
    swimmer: str, rank: tuple[int, int], word: str, grounds: Iterable[str], *, new: bool
) -> list[MondayLine]:
    """Return what needs somebody in one row of a roster; a verdict that was seen needs nobody."""
    found = []
    for ground in map(Ground, grounds):
        matter = _MATTER_OF.get(ground)
        if matter is not None and (new or matter is not Matter.VERDICT):
            found.append(MondayLine(rank, swimmer, matter, ground, word))
    return found
