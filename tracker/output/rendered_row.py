"""A rendered row of the roster: its cells, its JSON, and what is counted over all rows.

Values only: printing a cached row loads nothing of what renders one.
"""

from __future__ import annotations

import json
from typing import NamedTuple


class RenderedRow(NamedTuple):
    """One swimmer of a roster, in words.

    Attributes
    ----------
    rank
        Smaller is more in need of a look; then by label.
    word
        The verdict's; "no tests" without one.
    new, grounds
        Whether nobody has seen this verdict yet, and why a look is needed, most pressing first.
    flat
        The probability of a plateau that was called one; None for anything else.
    row
        The cells of the table, tabs between.
    json
        The swimmer's object in the scan's JSON, as it stands on level 2.
    """

    swimmer: str
    rank: tuple[int, int]
    word: str
    new: bool
    grounds: tuple[str, ...]
    flat: float | None
    row: str
    json: str

    @property
    def need(self) -> tuple[tuple[int, int], str]:
        """Sort key: most in need of a look first, then by label."""
        return self.rank, self.swimmer

    def packed(self) -> str:
        """Return the row as a text for the cache: a line of JSON, then the JSON to print."""
        return f"{json.dumps(self[:-1], ensure_ascii=False)}\n{self.json}"

    @classmethod
    def unpacked(cls, text: str) -> RenderedRow:
        """Return the row from its cached text."""
        head, _, printed = text.partition("\n")
        swimmer, rank, word, new, grounds, flat, row = json.loads(head)
        return cls(swimmer, tuple(rank), word, new, tuple(grounds), flat, row, printed)
